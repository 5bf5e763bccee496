// On a narrow page the list of pages is a side bar, which would stay open over the page that was
// chosen in it: it is folded away when the page changes.  The button that opens it shows the word
// Pages (page.css), so it is called so, whenever it is made anew.
let shown = null;
let watched = null;

function name() {
  document.querySelector('[data-testid="stExpandSidebarButton"]')?.setAttribute('aria-label', 'Pages');
}

export default function ({ data }) {
  const fold = document.querySelector('[data-testid="stSidebarCollapseButton"] button');
  if (fold && shown !== null && shown !== data.page && window.innerWidth < 768) fold.click();
  shown = data.page;
  name();
  const head = document.querySelector('[data-testid="stHeader"]');
  if (head && head !== watched) {
    new MutationObserver(name).observe(head, { childList: true, subtree: true });
    watched = head;
  }
}
