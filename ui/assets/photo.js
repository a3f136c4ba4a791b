// A photograph of cloth with markers to move: by pointer, or with the arrow keys (with Shift, further).
const box = element.querySelector('.photo');
const picture = element.querySelector('img');
const lines = element.querySelector('svg');
const NAMES = {
  points: ['first point on the ruler', 'second point on the ruler'],
  card: ['first corner of the card', 'second corner of the card', 'third corner of the card', 'fourth corner of the card'],
  crop: ['one corner of the cloth to use', 'the other corner of the cloth to use'],
};
let how = 'card';
let laid = null;
let kept = '';

function groups() {
  return { card: ['card'], points: ['points', 'crop'], ppi: ['crop'] }[how] ?? [];
}

function draw() {
  const { width_px, height_px } = props.value;
  const paths = { points: '', card: '', crop: '' };
  for (const group of groups()) {
    const at = props.value[group];
    if (group === 'crop') {
      const [[x, y], [across, down]] = at;
      paths.crop = 'M' + x + ' ' + y + 'H' + across + 'V' + down + 'H' + x + 'Z';
    } else {
      paths[group] = 'M' + at.map((point) => point.join(' ')).join('L') + (group === 'card' ? 'Z' : '');
    }
  }
  lines.setAttribute('viewBox', '0 0 ' + width_px + ' ' + height_px);
  for (const node of lines.querySelectorAll('path')) node.setAttribute('d', paths[node.dataset.group]);
  for (const marker of box.querySelectorAll('button')) {
    const [x, y] = props.value[marker.dataset.group][marker.dataset.index];
    marker.style.left = (100 * x) / width_px + '%';
    marker.style.top = (100 * y) / height_px + '%';
  }
}

function move(marker, x, y) {
  const { width_px, height_px } = props.value;
  const group = marker.dataset.group;
  const points = props.value[group].map((point) => [...point]);
  points[marker.dataset.index] = [Math.min(Math.max(x, 0), width_px), Math.min(Math.max(y, 0), height_px)];
  props.value = { ...props.value, [group]: points };
  draw();
}

function place() {
  for (const marker of box.querySelectorAll('button')) marker.remove();
  for (const group of groups()) {
    NAMES[group].forEach((name, index) => {
      const marker = document.createElement('button');
      marker.type = 'button';
      marker.className = 'marker ' + group;
      marker.dataset.group = group;
      marker.dataset.index = index;
      marker.setAttribute('aria-label', name);
      marker.title = name;
      box.append(marker);
    });
  }
  draw();
}

box.addEventListener('pointerdown', (event) => {
  const marker = event.target.closest('button');
  if (!marker) return;
  event.preventDefault();
  marker.focus();
  marker.setPointerCapture(event.pointerId);
});
box.addEventListener('pointermove', (event) => {
  const marker = event.target.closest('button');
  if (!marker || !marker.hasPointerCapture(event.pointerId)) return;
  const edge = box.getBoundingClientRect();
  const { width_px, height_px } = props.value;
  move(marker, ((event.clientX - edge.left) / edge.width) * width_px, ((event.clientY - edge.top) / edge.height) * height_px);
});
box.addEventListener('keydown', (event) => {
  const marker = event.target.closest('button');
  const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
  if (!marker || !way) return;
  event.preventDefault();
  const far = event.shiftKey ? 25 : 1;
  const [x, y] = props.value[marker.dataset.group][marker.dataset.index];
  move(marker, x + far * way[0], y + far * way[1]);
});
document.addEventListener('change', (event) => {
  if (event.target.matches('#how input[type=radio]')) {
    how = event.target.value;
    document.querySelector('#photo-form')?.setAttribute('data-how', how);
    if (laid) place();
  }
});

function show() {
  const { token, src } = props.value;
  element.classList.toggle('empty', !token);
  if (token && token !== laid) {
    picture.src = src;
    laid = token;
    place();
  }
  if (!token) laid = null;
  if (props.value.kept && props.value.kept !== kept) {
    kept = props.value.kept;
    document.dispatchEvent(new CustomEvent('seamlight:shelf'));
  }
}
watch('value', show);
show();
