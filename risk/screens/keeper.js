// Keeps the case in this browser (so that a reload loses nothing) and asks before work that is
// kept nowhere is left.  It is mounted on every page.
const PLACE = 'two-thirds-case';

function stored() {
  try { return window.localStorage.getItem(PLACE); } catch { return null; }
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
      if (stored() !== data.text) window.localStorage.setItem(PLACE, data.text);
      kept = true;
    } else if (data.forget) {
      window.localStorage.removeItem(PLACE);
    }
  } catch { kept = false; }
  window.onbeforeunload = data.unsaved && !kept ? (event) => event.preventDefault() : null;
  return () => { window.onbeforeunload = null; };
}
