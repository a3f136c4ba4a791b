// Markers that move: by pointer, or with the arrow keys (with Shift, further). Coordinates are the owner's.
function wireMarkers(box, { size, at, move, step }) {
  const place = (marker, event) => {
    const edge = box.getBoundingClientRect();
    const [wide, high] = size();
    move(marker, clamp(((event.clientX - edge.left) / edge.width) * wide, wide), clamp(((event.clientY - edge.top) / edge.height) * high, high));
  };
  const clamp = (value, most) => Math.min(Math.max(value, 0), most);
  box.addEventListener('pointerdown', (event) => {
    const marker = event.target.closest('button');
    if (!marker) return;
    event.preventDefault();
    marker.focus();
    marker.setPointerCapture(event.pointerId);
  });
  box.addEventListener('pointermove', (event) => {
    const marker = event.target.closest('button');
    if (marker?.hasPointerCapture(event.pointerId)) place(marker, event);
  });
  box.addEventListener('keydown', (event) => {
    const marker = event.target.closest('button');
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (!marker || !way) return;
    event.preventDefault();
    const far = (event.shiftKey ? 25 : 1) * step;
    const [x, y] = at(marker);
    const [wide, high] = size();
    move(marker, clamp(x + far * way[0], wide), clamp(y + far * way[1], high));
  });
  return place;
}

function makeMarker(group, index, name) {
  const marker = document.createElement('button');
  marker.type = 'button';
  marker.className = 'marker ' + group;
  marker.dataset.group = group;
  marker.dataset.index = index;
  marker.setAttribute('aria-label', name);
  marker.title = name;
  return marker;
}
