// What has changed on the page, for those who hear it: a paragraph a text, of which a screen reader
// says those that are changed here.
export default function ({ parentElement, data }) {
  const news = parentElement.querySelector('#news');
  data.texts.forEach((text, index) => {
    const said = news.children[index] ?? news.appendChild(document.createElement('p'));
    if (said.textContent !== text) said.textContent = text;
  });
  while (news.children.length > data.texts.length) news.lastChild.remove();
}
