// On a narrow page the list of pages is a side bar, which would stay open over the page that was
// chosen in it: it is folded away when the page changes.  The button that opens it shows the word
// Pages (page.css), so it is called so, whenever it is made anew.  The keyboard goes into the list
// when it is opened, which stands before the button, and back to the button when it is folded away.
let shown = null;
let watched = null;
let open = null;
let filesDone = null;
let until = 0;

function follow() {
  const button = document.querySelector('[data-testid="stExpandSidebarButton"]');
  button?.setAttribute('aria-label', 'Pages');
  const list = document.querySelector('[data-testid="stSidebar"]');
  const now = list?.dataset.collapsed === 'false';
  if (open !== null && now !== open) {
    const focused = document.activeElement;
    if (now) (list.querySelector('a[aria-current="page"]') ?? list.querySelector('a'))?.focus();
    else if (focused === document.body || list?.contains(focused)) button?.focus();
  }
  open = now;
  // What was done has folded File up, and what had the focus goes a moment later.
  const file = document.querySelector('.st-key-files summary');
  if (file && Date.now() < until && document.activeElement === document.body) {
    until = 0;
    file.focus();
  }
}

export default function ({ data }) {
  const fold = document.querySelector('[data-testid="stSidebarCollapseButton"] button');
  if (fold && shown !== null && shown !== data.page && window.innerWidth < 768) fold.click();
  shown = data.page;
  if (filesDone !== null && filesDone !== data.filesDone) {
    until = Date.now() + 2000;
    // It shows its own sign again: while a mouse is over it, another one, and it got smaller.
    document.querySelector('.st-key-files details')?.dispatchEvent(
      new MouseEvent('mouseout', { bubbles: true, relatedTarget: document.body }));
  }
  filesDone = data.filesDone;
  follow();
  // Not the header alone: it may not be there yet, and is made anew when the page gets narrow.
  if (!watched) {
    watched = new MutationObserver(follow);
    watched.observe(document.body, { childList: true, subtree: true });
  }
}
