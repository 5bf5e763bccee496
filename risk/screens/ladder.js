// An evidence ladder: a table with one row a rung. A new row slides in, and its bar starts from
// the length of the one before and moves to its own. All texts are set as text.
function element(name, className, text) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (text !== undefined) made.textContent = text;
  return made;
}

function newRow(rung) {
  const row = element('tr', rung.kind);
  const fact = element('th', 'fact', rung.text);
  fact.scope = 'row';
  const bar = element('td', 'track');
  bar.append(element('div', 'bar'));
  row.append(fact, bar, element('td', 'exact'), element('td', 'percent'));
  row.dataset.key = rung.key;
  return row;
}

// The code of the fields for guesses is fetched when they are first shown, on a slow line a while
// later; they are lower until then, and would grow out of sight.
const grows = new ResizeObserver(([guess]) => guess.target.scrollIntoView({ block: 'nearest' }));

export default function ({ parentElement, data }) {
  const host = parentElement.querySelector('#ladder');
  let table = host.querySelector('table');
  if (!table) {
    table = element('table');
    table.append(element('caption'));
    const head = element('thead');
    const row = element('tr');
    for (const [name, text] of [['fact', 'What is known'], ['track', ''], ['exact', 'Chance'], ['percent', '']]) {
      const cell = element(text ? 'th' : 'td', name, text);
      if (text) cell.scope = 'col';
      row.append(cell);
    }
    head.append(row);
    const said = element('p', 'said');
    said.setAttribute('aria-live', 'polite');
    table.append(head, element('tbody'));
    host.append(table, said);
  }
  table.querySelector('caption').textContent = data.caption;
  table.querySelector('thead .track').textContent = data.scale ? `bars up ${data.scale}` : '';
  const body = table.querySelector('tbody');
  const before = [...body.children];
  let width = 0;
  let arrived = null;
  data.rungs.forEach((rung, index) => {
    let row = before[index];
    const fresh = !row || row.dataset.key !== rung.key;
    if (fresh) {
      row = newRow(rung);
      if (before[index]) before[index].replaceWith(row);
      else body.append(row);
      row.querySelector('.bar').style.width = `${width}%`;
      if (before.length) {
        row.classList.add('arriving');
        arrived = row;
      }
      void row.offsetWidth;   // so that the bar is seen to move from the length before
    }
    row.classList.toggle('newest', index === data.rungs.length - 1);
    row.querySelector('.fact').textContent = rung.text;
    row.querySelector('.exact').textContent = rung.exact;
    row.querySelector('.percent').textContent = rung.percent;
    row.querySelector('.bar').style.width = `${rung.width}%`;
    row.querySelector('.bar').style.minWidth = rung.width > 0 ? '2px' : '0';   // of 0 no bar is drawn
    width = rung.width;
  });
  before.slice(data.rungs.length).forEach((row) => row.remove());
  // What is new comes into sight; of a fact that is asked about the guesses, where they stand above.
  const asked = arrived?.classList.contains('asked') && document.querySelector('.st-key-guess');
  (asked || arrived)?.scrollIntoView({ block: 'nearest' });
  if (arrived) grows.disconnect();
  if (asked) grows.observe(asked);
  const last = data.rungs[data.rungs.length - 1];
  const said = last ? `${last.text}: ${last.exact} ${last.percent}` : '';
  const live = host.querySelector('.said');
  if (live.textContent !== said) live.textContent = said;
}
