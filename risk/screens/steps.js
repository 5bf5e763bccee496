// Stepping through a working or the evidence.  Streamlit does not hear the arrow keys of its
// buttons where a switch or a radio button has the focus.  A switch has no use for them, and radio
// buttons that stand below one another keep up and down, so there left and right step too.
const KEYS = { ArrowLeft: 'step-back', ArrowRight: 'step-on' };

function step(event) {
  const key = KEYS[event.key];
  if (!key || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (!event.target.matches('input[type="checkbox"], input[type="radio"]')) return;
  const button = document.querySelector(`.st-key-${key} button`);
  if (!button) return;
  event.preventDefault();
  event.stopPropagation();
  button.click();
}

// It runs again whenever another number of rows is shown: the newest is brought into sight.
export default function () {
  window.addEventListener('keydown', step, true);
  const rows = document.querySelectorAll('.st-key-working :is(p, li, tr)');
  rows[rows.length - 1]?.scrollIntoView({ block: 'nearest' });
  return () => window.removeEventListener('keydown', step, true);
}
