// A table that is wider than its place scrolls: the keyboard can reach it then, a screen reader says
// so, and page.css lays a shadow on each edge that cuts it off.  It is mounted on every page.
const OFFERED = { tabindex: '0', role: 'group', 'aria-label': 'A wide table: scroll sideways' };
let waiting = 0;

function look() {
  waiting = 0;
  for (const box of document.querySelectorAll('.tt-doc .wide')) {
    const beyond = box.scrollWidth - box.clientWidth;
    box.classList.toggle('more-left', box.scrollLeft > 1);
    box.classList.toggle('more-right', beyond - box.scrollLeft > 1);
    for (const [name, value] of Object.entries(OFFERED)) {
      if (beyond > 1) box.setAttribute(name, value);
      else box.removeAttribute(name);
    }
    // Its arrow keys are not those that step through a working.
    box.onkeydown = (event) => { if (event.key.startsWith('Arrow')) event.stopPropagation(); };
  }
}

function soon() {
  waiting ||= requestAnimationFrame(look);
}

export default function () {
  const watch = new MutationObserver(soon);
  watch.observe(document.body, { childList: true, subtree: true });
  window.addEventListener('resize', soon);
  document.addEventListener('scroll', soon, true);   // of the tables too: it does not bubble
  soon();
  return () => {
    watch.disconnect();
    window.removeEventListener('resize', soon);
    document.removeEventListener('scroll', soon, true);
  };
}
