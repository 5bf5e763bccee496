// Keeps case, worksheet and the version to compare in this browser (so that a reload loses nothing)
// and asks before work that is kept nowhere is left.  It is mounted on every page.  Each tab has its
// own; a new tab gets what any tab kept last.
const PLACE = 'two-thirds-';

function stored(name) {
  try {
    return window.sessionStorage.getItem(PLACE + name) ?? window.localStorage.getItem(PLACE + name);
  } catch { return null; }
}

function store(name, text) {
  try {
    window.sessionStorage.setItem(PLACE + name, text);
    if (text) window.localStorage.setItem(PLACE + name, text);
    else window.localStorage.removeItem(PLACE + name);
    return true;
  } catch { return false; }
}

export default function ({ data, setTriggerValue }) {
  // A new session, after a reload or because the server was started anew, gets back what there is.
  const found = data.fresh ? Object.keys(data.texts).map((name) => [name, stored(name)]) : [];
  const held = found.filter(([, text]) => text);
  if (held.length) {
    setTriggerValue('restored', Object.fromEntries(held));
    return () => { window.onbeforeunload = null; };
  }
  const kept = {};
  for (const [name, text] of Object.entries(data.texts)) {
    if (data.keep && text) kept[name] = store(name, text);
    else if (data.emptied.includes(name)) store(name, '');   // whatever another tab keeps
  }
  window.onbeforeunload = data.unsaved && !kept.case ? (event) => event.preventDefault() : null;
  return () => { window.onbeforeunload = null; };
}
