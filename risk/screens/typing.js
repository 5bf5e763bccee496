// Fields in which somebody types.  It is mounted on every page.
const FIELD = 'textarea, input:not([type="checkbox"], [type="radio"], [type="file"], [role="combobox"])';
const LINK = '[data-testid="stTopNavLink"], [data-testid="stSidebarNavLink"]';
let before = '';    // what stood in the field when the keyboard came to it, or was sent last
let left = 0;       // when a field was left in which something else stands
let letting = false;
let watching = false;

// In a field the keys of undo and redo are the field's own, not those of the family.  A list to
// choose from is a field while it is open.
function key(event) {
  const place = event.composedPath()[0];
  const undo = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'z';
  if (undo && place.matches(`${FIELD}, [role="combobox"][aria-expanded="true"]`)) {
    event.stopPropagation();
  }
  if (event.key === 'Enter') before = place.value;
}

function focused({ target }) {
  before = target.value;
}

function leave({ target }) {
  left = target.matches(FIELD) && target.value !== before ? Date.now() : 0;
}

// Streamlit sends what was typed a moment after its field is left.  A tap on the name of a page is
// sent sooner, and what follows would cut it off: it waits for the run that the text asks for.
function press(event) {
  const link = event.target.closest(LINK);
  if (!link || letting || Date.now() - left > 500) return;
  event.preventDefault();
  event.stopPropagation();
  wait(link, left + 1500, false);
}

function wait(link, latest, begun) {
  const state = document.querySelector('[data-testid="stApp"]')?.dataset.testScriptState;
  if (Date.now() < latest && !(begun && state === 'notRunning')) {
    setTimeout(wait, 20, link, latest, begun || state === 'running');
    return;
  }
  letting = true;
  link.click();
  letting = false;
}

export default function () {
  if (watching) return;
  watching = true;
  window.addEventListener('keydown', key, true);
  window.addEventListener('focusin', focused, true);
  window.addEventListener('focusout', leave, true);
  window.addEventListener('click', press, true);
}
