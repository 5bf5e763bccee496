// The family tree as one selectable thing: one Tab stop, arrow keys go to the nearest person.
// The drawing arrives as SVG text and is parsed as XML; nothing of it is ever run.
const drawn = new WeakMap();
const looked = new WeakMap();
const watched = new WeakSet();

export default function ({ parentElement, data, setTriggerValue }) {
  const host = parentElement.querySelector('#tree');
  const people = () => [...host.querySelectorAll('[data-person]')];
  const active = parentElement.activeElement?.dataset?.person;

  if (drawn.get(host) !== data.svg) {
    const svg = parsed(data.svg);
    if (!svg) {
      host.textContent = 'The drawing could not be read.';
      return;
    }
    if (svg.querySelector('[data-person]')) svg.setAttribute('role', 'group');
    host.parentElement.classList.toggle('picture', !svg.querySelector('[data-person]'));
    host.replaceChildren(svg);
    const box = svg.getBBox();
    const edge = 14;
    if (box.width) {
      svg.setAttribute('viewBox', [box.x - edge, box.y - edge, box.width + 2 * edge, box.height + 2 * edge].join(' '));
    }
    svg.removeAttribute('height');
    const width = (box.width || 400) + 2 * edge;
    svg.style.setProperty('--units', width);
    // It grows with the type of the page, where it has room to.
    svg.style.setProperty('--natural', `${(width * (data.scale || 1)) / 16}rem`);
    svg.style.setProperty('--least', `${width * (data.scale || 1) * 0.75}px`);
    drawn.set(host, data.svg);
  }

  showSigns(parentElement.querySelector('#signs'), data.signs ?? []);
  const chosen = data.selected ?? people()[0]?.dataset.person;
  const lit = new Set(data.lit ?? []);
  for (const g of people()) {
    const id = g.dataset.person;
    g.classList.toggle('lit', lit.has(id));
    g.classList.toggle('wrong', (data.wrong ?? []).includes(id));
    if (!data.pick) {   // to be read, and nothing to be pressed
      g.setAttribute('role', 'img');
      g.removeAttribute('tabindex');
      continue;
    }
    g.setAttribute('role', 'button');
    g.setAttribute('tabindex', id === chosen ? '0' : '-1');
    g.setAttribute('aria-pressed', String(id === data.selected));
    g.onclick = () => setTriggerValue('picked', id);
    g.onkeydown = (event) => {
      if (event.key === 'Enter' || event.key === ' ') {
        event.preventDefault();
        setTriggerValue('picked', id);
      } else if (event.key.startsWith('Arrow')) {
        event.preventDefault();
        event.stopPropagation();
        const next = nearest(people(), g, event.key.slice(5));
        if (next) {
          people().forEach((other) => other.setAttribute('tabindex', other === next ? '0' : '-1'));
          next.focus();
          next.scrollIntoView({ block: 'nearest', inline: 'nearest' });
        }
      }
    };
    if (id === active) g.focus({ preventScroll: true });
  }
  if (data.pick && !people().some((g) => g.getAttribute('tabindex') === '0')) {
    people()[0]?.setAttribute('tabindex', '0');
  }
  offerFit(host, parentElement.querySelector('#fit'));
  const now = `${data.selected} in ${data.svg}`;
  if (looked.get(host) !== now) {
    looked.set(host, now);
    inSight(host, people().find((g) => g.dataset.person === data.selected));
  }
}

// Scroll a tree that is wider than its place to a person who is out of sight there.
function inSight(host, g) {
  if (!g) return;
  const [x] = middle(g);
  const { left, width } = host.getBoundingClientRect();
  if (x < left + 20 || x > left + width - 20) host.scrollLeft += x - left - width / 2;
}

// A switch, where the tree is wider than its place: the whole of it, or letters as they were.
function offerFit(host, button) {
  const frame = host.parentElement;
  const look = () => {
    const whole = frame.classList.contains('whole');
    button.textContent = whole ? 'Larger, and scroll' : 'The whole width at once';
    const wider = host.scrollWidth > host.clientWidth + 1;
    button.hidden = !whole && !wider;
    // Where nobody in it can have the focus the arrow keys need another way to scroll it.
    host.toggleAttribute('tabindex', wider && !host.querySelector('[data-person][tabindex]'));
    if (host.hasAttribute('tabindex')) host.tabIndex = 0;
  };
  button.onclick = () => {
    frame.classList.toggle('whole');
    look();
  };
  if (!watched.has(host)) {
    const watch = new ResizeObserver(look);
    watch.observe(host);
    watched.add(host);
  }
  look();
}

// An element of the page from SVG text; null where it cannot be read.
function parsed(text) {
  const doc = new DOMParser().parseFromString(text, 'image/svg+xml');
  return doc.querySelector('parsererror') ? null : document.importNode(doc.documentElement, true);
}

// The key: a list of signs, each with its meaning as text of the page beside it.
function showSigns(place, signs) {
  const now = JSON.stringify(signs);
  if (drawn.get(place) === now) return;
  drawn.set(place, now);
  place.replaceChildren();
  place.hidden = signs.length === 0;
  if (place.hidden) return;
  const head = document.createElement('p');
  head.textContent = 'Key';
  head.id = 'signs-head';
  const list = document.createElement('ul');
  list.setAttribute('aria-labelledby', head.id);
  for (const sign of signs) {
    const entry = document.createElement('li');
    const sample = document.createElement('span');
    sample.className = 'sample';
    sample.setAttribute('aria-hidden', 'true');   // the words say it
    const svg = parsed(sign.svg);
    if (svg) {
      svg.querySelector('title')?.remove();   // else it pops up under the mouse
      for (const name of ['width', 'height']) {
        svg.style[name] = `${parseFloat(svg.getAttribute(name)) / 12}em`;
      }
      sample.append(svg);
    }
    const words = document.createElement('span');
    words.textContent = sign.words;
    entry.append(sample, words);
    list.append(entry);
  }
  place.append(head, list);
}

// The symbol of a person, whose middle stands for them.
function middle(g) {
  const box = (g.querySelector('[data-part=symbol]') ?? g).getBoundingClientRect();
  return [box.x + box.width / 2, box.y + box.height / 2];
}

// The nearest person in a direction: along the row for left and right, else what lies most
// nearly straight ahead.
function nearest(all, from, direction) {
  const [x, y] = middle(from);
  const row = (from.querySelector('[data-part=symbol]') ?? from).getBoundingClientRect().height;
  let best = null;
  let least = Infinity;
  for (const g of all) {
    const [gx, gy] = middle(g);
    const ahead = { Left: x - gx, Right: gx - x, Up: y - gy, Down: gy - y }[direction];
    const along = direction === 'Left' || direction === 'Right';
    const aside = Math.abs(along ? gy - y : gx - x);
    if (g !== from && ahead > 4 && (!along || aside < row)) {
      const cost = ahead + 3 * aside;
      if (cost < least) [best, least] = [g, cost];
    }
  }
  return best;
}
