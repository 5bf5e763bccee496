// Keeps the case in this browser (so that a reload loses nothing) and asks before work that is
// kept nowhere is left.  It is mounted on every page.  Each tab has its own family; a new tab gets
// the one that any tab kept last.
const PLACE = 'two-thirds-case';

function stored() {
  try {
    return window.sessionStorage.getItem(PLACE) ?? window.localStorage.getItem(PLACE);
  } catch { return null; }
}

function store(text) {
  window.sessionStorage.setItem(PLACE, text);
  if (text) window.localStorage.setItem(PLACE, text);
  else window.localStorage.removeItem(PLACE);
}

export default function ({ data, setTriggerValue }) {
  let kept = false;
  // A new session, after a reload or because the server was started anew, gets the family back.
  const text = data.fresh ? stored() : null;
  if (text) {
    setTriggerValue('restored', text);
    return () => { window.onbeforeunload = null; };
  }
  try {
    if (data.keep && data.text) {
      store(data.text);
      kept = true;
    } else if (data.forget) {
      store('');   // this tab is empty, whatever another one keeps
    }
  } catch { kept = false; }
  window.onbeforeunload = data.unsaved && !kept ? (event) => event.preventDefault() : null;
  return () => { window.onbeforeunload = null; };
}
