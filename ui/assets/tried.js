// The swatch at true size beside a ruler, its repeat drawn over it, and its colour corrected by eye.
const CSS_INCH = 96;
const BAR_IN = 3;
const EYE = ['light', 'warm', 'pink', 'strong'];
const MARKS = ['a motif', 'the next like it, across', 'the next like it, up or down'];
const NS = 'http://www.w3.org/2000/svg';
const part = (name) => element.querySelector(name);
const sheet = part('.cloth');
const picture = part('.cloth img');
const lattice = part('.cloth svg');
const ruler = part('.ruler');
const measured = part('.measured');
let stretch = 1;
let turn = 0;
let busy = false;
let again = false;

function paint() {
  if (!props.value.token) return;
  if (busy) { again = true; return; }
  busy = true;
  const asked = new URLSearchParams(EYE.map((name) => [name, props.value.eye[name]]));
  picture.src = '/tried/' + props.value.token + '.png?' + asked;
}
function painted() {
  busy = false;
  if (again) { again = false; paint(); }
}
picture.addEventListener('load', painted);
picture.addEventListener('error', painted);

function latticePath() {
  const { width_in: wide, height_in: high, steps, marks, marking } = props.value;
  if (marking) return 'M' + marks[1].join(' ') + 'L' + marks[0].join(' ') + 'L' + marks[2].join(' ');
  if (!steps.length) return '';
  const [a, b = [-steps[0][1], steps[0][0]]] = steps;
  const area = Math.abs(a[0] * b[1] - a[1] * b[0]);
  const reach = wide + high;
  let path = '';
  const rule = (along, across) => {
    const long = Math.hypot(...along);
    const far = Math.ceil((reach * long) / area) + 1;
    if (far > 200) return;
    const t = (2 * reach) / long;
    for (let k = -far; k <= far; k += 1) {
      const [x, y] = [k * across[0], k * across[1]];
      path += 'M' + (x - t * along[0]) + ' ' + (y - t * along[1]) + 'L' + (x + t * along[0]) + ' ' + (y + t * along[1]);
    }
  };
  if (steps.length === 2) rule(a, b);
  rule(b, a);
  return path;
}

function drawRuler(wide) {
  let marks = '';
  for (let i = 0; i <= wide * 8 + 0.001; i += 1) {
    const high = i % 8 === 0 ? 18 : i % 4 === 0 ? 12 : 7;
    marks += 'M' + (i / 8) * CSS_INCH + ' 24v-' + high;
  }
  ruler.replaceChildren();
  const path = document.createElementNS(NS, 'path');
  path.setAttribute('d', marks);
  ruler.append(path);
  for (let inch = 1; inch <= wide; inch += 1) {
    const text = document.createElementNS(NS, 'text');
    text.setAttribute('x', inch * CSS_INCH - 4);
    text.setAttribute('y', 14);
    text.setAttribute('text-anchor', 'end');
    text.textContent = inch;
    ruler.append(text);
  }
  ruler.setAttribute('viewBox', '0 0 ' + wide * CSS_INCH + ' 24');
  ruler.style.width = wide * CSS_INCH * stretch + 'px';
}

function draw() {
  const { token, width_in: wide, height_in: high, marks, marking, eye } = props.value;
  element.classList.toggle('empty', !token);
  if (!token) return;
  sheet.style.width = wide * CSS_INCH * stretch + 'px';
  sheet.style.aspectRatio = wide + ' / ' + high;
  drawRuler(wide);
  part('.bar').style.width = BAR_IN * CSS_INCH * stretch + 'px';
  lattice.setAttribute('viewBox', '0 0 ' + wide + ' ' + high);
  lattice.style.display = marking || part('.lattice').checked ? '' : 'none';
  lattice.querySelectorAll('path').forEach((path) => path.setAttribute('d', latticePath()));
  element.classList.toggle('marking', marking);
  element.classList.toggle('unrepeated', !props.value.steps.length);
  const there = sheet.querySelectorAll('button');
  if (marking && !there.length) MARKS.forEach((name, index) => sheet.append(makeMarker('repeat', index, name)));
  if (!marking) there.forEach((marker) => marker.remove());
  for (const marker of sheet.querySelectorAll('button')) {
    const [x, y] = marks[marker.dataset.index];
    marker.style.left = (100 * x) / wide + '%';
    marker.style.top = (100 * y) / high + '%';
  }
  for (const name of EYE) {
    const slider = element.querySelector('input[name=' + name + ']');
    slider.value = eye[name];
    slider.parentElement.querySelector('output').textContent = eye[name] > 0 ? '+' + eye[name] : String(eye[name]);
  }
}

const put = wireMarkers(sheet, {
  step: 0.01,
  size: () => [props.value.width_in, props.value.height_in],
  at: (marker) => props.value.marks[marker.dataset.index],
  move: (marker, x, y) => {
    const marks = props.value.marks.map((point) => [...point]);
    marks[marker.dataset.index] = [x, y];
    props.value = { ...props.value, marks, moved: true };
    draw();
  },
});
sheet.addEventListener('click', (event) => {
  const markers = sheet.querySelectorAll('button');
  if (!markers.length || event.target.closest('button')) return;
  put(markers[turn % 3], event);
  turn += 1;
});

function correct(eye) {
  props.value = { ...props.value, eye };
  draw();
  paint();
}
element.addEventListener('input', (event) => {
  if (EYE.includes(event.target.name)) correct({ ...props.value.eye, [event.target.name]: Number(event.target.value) });
});
element.addEventListener('change', (event) => {
  if (event.target === measured) {
    const length = Number(measured.value);
    if (length >= 1 && length <= 9) stretch = BAR_IN / length;
    draw();
  } else if (event.target.matches('.lattice')) draw();
});
part('.off').addEventListener('click', () => correct(Object.fromEntries(EYE.map((name) => [name, 0]))));

let shown = '';
function show() {
  draw();
  if (props.value.token && props.value.token !== shown) { turn = 0; paint(); }
  shown = props.value.token;
}
watch('value', show);
show();
