// The picture, and over it the outlines of patches and edges: in inches, so they fit at any size.
const NS = 'http://www.w3.org/2000/svg';
const frame = element.querySelector('.picture');
const shown = element.querySelector('.whole');
const over = element.querySelector('svg');
const caption = element.querySelector('.caption');
let patches = new Map();
let edges = new Map();
let lines = null;
let size_in = null;
let wanted = null;

function shape(tag, attributes) {
  const node = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

async function fetchLines(address) {
  if (address === lines) return;
  lines = address;
  const answer = await fetch(address);
  const found = await answer.json();
  if (address !== lines) return;
  size_in = [found.width_in, found.height_in];
  over.setAttribute('viewBox', '0 0 ' + found.width_in + ' ' + found.height_in);
  frame.style.aspectRatio = found.width_in + ' / ' + found.height_in;
  glass.whole();
  patches = new Map(found.patches.map((patch) => [String(patch.number), patch]));
  edges = new Map(found.edges.map((edge) => [edge.name, edge.path]));
  const areas = found.patches.map((patch) => shape('path', { d: patch.path, class: 'patch', 'data-number': patch.number }));
  const marks = ['under', 'on'].map((name) => shape('path', { class: 'mark ' + name, d: '' }));
  over.replaceChildren(...areas, ...marks);
}

function mark(path, kind) {
  for (const node of over.querySelectorAll('.mark')) {
    node.setAttribute('d', path);
    node.classList.toggle('edge', kind === 'edge');
  }
}

function rest() {
  mark('', 'patch');
  caption.textContent = props.value.caption;
}

over.addEventListener('pointermove', (event) => {
  const patch = patches.get(event.target.dataset.number);
  if (!patch) return;
  mark(patch.path, 'patch');
  caption.textContent = 'Patch ' + patch.number + ': ' + patch.role + ', ' + (props.value.cloths[patch.role] ?? '');
});
over.addEventListener('pointerleave', rest);
over.addEventListener('click', (event) => {
  const patch = patches.get(event.target.dataset.number);
  if (patch) document.dispatchEvent(new CustomEvent('seamlight:role', { detail: patch.role }));
});
document.addEventListener('seamlight:edge', (event) => {
  if (event.detail === null) return rest();
  mark(edges.get(event.detail.edge) ?? '', 'edge');
  caption.textContent = event.detail.words;
});

const out = element.querySelector('.out');
const nearer = element.querySelector('.in');
const glass = wireNearer(frame, {
  inches: () => size_in,
  address: () => shown.getAttribute('src')?.replace('/picture.png?', '/near.png?'),
  tell: (times, most) => {
    element.querySelector('output').textContent = (times < 10 ? times.toFixed(1).replace('.0', '') : Math.round(times)) + ' x';
    out.disabled = times <= 1;
    nearer.disabled = times >= most;
    element.querySelector('.all').disabled = times <= 1;
  },
});
out.addEventListener('click', glass.further);
nearer.addEventListener('click', glass.nearer);
element.querySelector('.all').addEventListener('click', glass.whole);

// What was found of a choice stands beside the page's choice of now; where they differ it says so.
function compare() {
  const found = document.querySelector('#weighed .found');
  if (found) found.querySelector('.since').hidden = found.dataset.choice === props.value.named;
}
document.addEventListener('seamlight:found', compare);

async function show() {
  const { src, alt } = props.value;
  // The switch for upright prints is there when a one-way cloth is.
  document.getElementById('upright')?.classList.toggle('used', Boolean(props.value.one_way));
  compare();
  if (!src) return;
  fetchLines(props.value.outlines);
  if (src === wanted) return;
  wanted = src;
  element.classList.add('busy');
  setTimeout(() => { if (src === wanted && element.classList.contains('busy')) caption.textContent = 'Drawing …'; }, 500);
  const next = new Image();
  next.src = src;
  try {
    await next.decode();
  } catch {
    if (src === wanted) caption.textContent = 'The picture did not come. Is the program still running?';
    return;
  }
  if (src !== wanted) return;
  shown.src = src;
  shown.alt = alt;
  glass.fresh();
  element.classList.remove('busy');
  element.dataset.shown = src;
  rest();
}
watch('value', show);
show();
