// A photograph of cloth with markers to move, and what was found in it.
const box = element.querySelector('.photo');
const picture = element.querySelector('img');
const lines = element.querySelector('svg');
const said = element.querySelector('.found');
const corners = (what) => ['first', 'second', 'third', 'fourth'].map((which) => which + ' corner of the ' + what);
const NAMES = {
  points: ['first point on the ruler', 'second point on the ruler'],
  card: corners('card or paper'),
  chart: corners('chart, beginning at dark skin'),
  grey: ['a place on the grey card or white paper'],
  crop: ['one corner of the cloth to use', 'the other corner of the cloth to use'],
};
const SCALE = { card: ['card', 'crop'], A4: ['card', 'crop'], Letter: ['card', 'crop'], points: ['points', 'crop'], ticks: ['points', 'crop'], across: ['crop'], ppi: ['crop'] };
const COLOUR = { grey: ['grey'], white: ['grey'], 'after 2014': ['chart'], 'before 2014': ['chart'] };
let how = 'card';
let colour = '';
let laid = null;
let kept = '';

const groups = () => [...(SCALE[how] ?? []), ...(COLOUR[colour] ?? [])];
const round = (points) => 'M' + points.map((point) => point.join(' ')).join('L') + 'Z';

// The piece between two opposite corners: square to the card where there is one, else to the photograph.
// Source of the map from a square to a quadrilateral: Heckbert (1989), Fundamentals of Texture Mapping, 2.2.3.
function piece([first, second], card) {
  const [[x, y], [across, down]] = [first, second];
  const whole = Math.abs(across - x) >= props.value.width_px && Math.abs(down - y) >= props.value.height_px;
  const upright = [[x, y], [across, y], [across, down], [x, down]];
  if (!card || whole) return upright;
  const [p0, p1, p2, p3] = card;
  const sum = [0, 1].map((i) => p0[i] - p1[i] + p2[i] - p3[i]);
  const [d1, d2] = [[0, 1].map((i) => p1[i] - p2[i]), [0, 1].map((i) => p3[i] - p2[i])];
  const det = d1[0] * d2[1] - d2[0] * d1[1];
  if (!det) return upright;
  const g = (sum[0] * d2[1] - d2[0] * sum[1]) / det;
  const h = (d1[0] * sum[1] - sum[0] * d1[1]) / det;
  const a = [0, 1].map((i) => p1[i] - p0[i] + g * p1[i]);
  const b = [0, 1].map((i) => p3[i] - p0[i] + h * p3[i]);
  const out = ([u, v]) => [0, 1].map((i) => (a[i] * u + b[i] * v + p0[i]) / (g * u + h * v + 1));
  const into = ([px, py]) => {
    const [k, l, m, n] = [a[0] - g * px, b[0] - h * px, a[1] - g * py, b[1] - h * py];
    const [r, s] = [px - p0[0], py - p0[1]];
    const size = k * n - l * m;
    return [(r * n - l * s) / size, (k * s - r * m) / size];
  };
  const [[u, v], [far, low]] = [into(first), into(second)];
  const quad = [[u, v], [far, v], [far, low], [u, low]].map(out);
  return quad.flat().every(Number.isFinite) ? quad : upright;
}

function draw() {
  const { width_px, height_px } = props.value;
  const shown = groups();
  const paths = { sheet: how === 'sheet' ? (props.value.sheet ?? []).map(round).join('') : '' };
  for (const group of shown) {
    const at = props.value[group];
    if (group === 'crop') {
      paths.crop = round(piece(at, shown.includes('card') ? props.value.card : null));
    } else if (group === 'points') {
      paths.points = 'M' + at.map((point) => point.join(' ')).join('L');
    } else if (at.length > 2) {
      paths[group] = round(at);
    }
  }
  lines.setAttribute('viewBox', '0 0 ' + width_px + ' ' + height_px);
  for (const node of lines.querySelectorAll('path')) node.setAttribute('d', paths[node.dataset.group] ?? '');
  for (const marker of box.querySelectorAll('button')) {
    const [x, y] = props.value[marker.dataset.group][marker.dataset.index];
    marker.style.left = (100 * x) / width_px + '%';
    marker.style.top = (100 * y) / height_px + '%';
  }
}

function place() {
  for (const marker of box.querySelectorAll('button')) marker.remove();
  for (const group of groups()) NAMES[group].forEach((name, index) => box.append(makeMarker(group, index, name)));
  draw();
}

wireMarkers(box, {
  step: 1,
  size: () => [props.value.width_px, props.value.height_px],
  at: (marker) => props.value[marker.dataset.group][marker.dataset.index],
  move: (marker, x, y) => {
    const group = marker.dataset.group;
    const points = props.value[group].map((point) => [...point]);
    points[marker.dataset.index] = [x, y];
    props.value = { ...props.value, [group]: points };
    draw();
  },
});

function choose(scale) {
  how = scale;
  document.querySelector('#photo-form')?.setAttribute('data-how', how);
}
document.addEventListener('change', (event) => {
  if (event.target.matches('#how input[type=radio]')) choose(event.target.value);
  else if (event.target.matches('#colour-from input[type=radio]')) colour = event.target.value;
  else return;
  if (laid) place();
});

function show() {
  const { token, src } = props.value;
  element.classList.toggle('empty', !token);
  said.textContent = props.value.found ?? '';
  if (token && token !== laid) {
    picture.src = src;
    laid = token;
    choose(props.value.how);
    colour = props.value.colour;
    place();
  } else if (token) draw();
  if (!token) laid = null;
  if (props.value.kept && props.value.kept !== kept) {
    kept = props.value.kept;
    document.dispatchEvent(new CustomEvent('seamlight:shelf'));
  }
}
watch('value', show);
show();
