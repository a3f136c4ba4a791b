// The chooser of blocks: a button that opens a list with small pictures. Names are only ever set as text.
const opener = element.querySelector('.open');
const panel = element.querySelector('.panel');
const find = element.querySelector('.find');
const list = element.querySelector('.list');
let blocks = [];
let chosen = props.value.block;

function make(tag, attributes, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

function address(name) {
  return '/block/' + encodeURIComponent(name) + '.png';
}

function showChosen() {
  const block = blocks.find((each) => each.name === chosen);
  opener.querySelector('img').src = address(chosen);
  opener.querySelector('.title').textContent = block ? block.title : chosen;
  opener.querySelector('.about').textContent = block ? block.size + ', ' + block.difficulty : '';
  opener.setAttribute('aria-label', 'Choose a block; now ' + (block ? block.title : chosen));
}

function option(block) {
  const name = make('span', { class: 'name' });
  name.textContent = block.title;
  const also = block.also.length ? ' Also: ' + block.also.join(', ') + '.' : '';
  return make('div', {
    role: 'option', 'aria-selected': String(block.name === chosen), tabindex: -1,
    title: block.about + also, 'data-block': block.name,
  }, make('img', { src: address(block.name), alt: '', loading: 'lazy', width: 72, height: 72 }), name);
}

function showList() {
  const words = find.value.trim().toLowerCase().split(/\s+/);
  const seen = blocks.filter((block) => {
    const text = [block.title, ...block.also, block.difficulty, block.about].join(' ').toLowerCase();
    return words.every((word) => text.includes(word));
  });
  const groups = [...new Set(seen.map((block) => block.difficulty))].map((difficulty) => {
    const head = make('p', { class: 'group', 'aria-hidden': 'true' });
    head.textContent = difficulty;
    const inside = seen.filter((block) => block.difficulty === difficulty).map(option);
    return make('div', { role: 'group', 'aria-label': difficulty }, head, ...inside);
  });
  list.replaceChildren(...groups);
  if (!seen.length) list.append(make('p', { class: 'none' }, blocks.length ? 'No block of that name.' : 'Fetching the blocks…'));
  const first = list.querySelector('[aria-selected=true]') ?? list.querySelector('[role=option]');
  if (first) first.tabIndex = 0;
}

function open(wanted) {
  panel.hidden = !wanted;
  opener.setAttribute('aria-expanded', String(wanted));
  if (!wanted) return opener.focus();
  find.value = '';
  showList();
  find.focus();
  // Only the list itself scrolls, never the page.
  const at = list.querySelector('[aria-selected=true]');
  if (at) list.scrollTop = at.offsetTop - list.offsetTop - 60;
}

function choose(name) {
  chosen = name;
  showChosen();
  open(false);
  document.dispatchEvent(new CustomEvent('seamlight:block', { detail: name }));
}

function step(event) {
  const all = [...list.querySelectorAll('[role=option]')];
  const at = all.indexOf(event.target.closest('[role=option]'));
  if (at < 0) return;
  const row = (node) => node.offsetTop;
  const beside = (way) => {
    // The nearest option of the next row, above or below.
    const rows = all.filter((node) => (way > 0 ? row(node) > row(all[at]) : row(node) < row(all[at])));
    const near = rows.length ? (way > 0 ? row(rows[0]) : row(rows[rows.length - 1])) : null;
    const line = rows.filter((node) => row(node) === near);
    return line.sort((one, other) => Math.abs(one.offsetLeft - all[at].offsetLeft) - Math.abs(other.offsetLeft - all[at].offsetLeft))[0];
  };
  const to = {
    ArrowRight: () => all[at + 1], ArrowLeft: () => all[at - 1], ArrowDown: () => beside(1), ArrowUp: () => beside(-1),
    Home: () => all[0], End: () => all[all.length - 1],
  }[event.key]?.();
  if (!to) return;
  event.preventDefault();
  for (const each of all) each.tabIndex = -1;
  to.tabIndex = 0;
  to.focus();
}

opener.addEventListener('click', () => open(panel.hidden));
find.addEventListener('input', showList);
panel.addEventListener('keydown', (event) => {
  if (event.key === 'Escape') {
    event.stopPropagation();
    open(false);
  } else if (event.target === find) {
    if (event.key === 'ArrowDown' || event.key === 'Enter') {
      event.preventDefault();
      list.querySelector('[tabindex="0"]')?.focus();
    }
  } else if (event.key === 'Enter' || event.key === ' ') {
    event.preventDefault();
    const at = event.target.closest('[data-block]');
    if (at) choose(at.dataset.block);
  } else {
    step(event);
  }
});
list.addEventListener('click', (event) => {
  const at = event.target.closest('[data-block]');
  if (at) choose(at.dataset.block);
});

async function fetchBlocks() {
  blocks = await (await fetch('/blocks.json')).json();
  showChosen();
  if (!panel.hidden) showList();
}
showChosen();
fetchBlocks();
