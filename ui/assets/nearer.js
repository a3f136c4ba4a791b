// A magnifier: the sheet with the picture on it grows inside its frame and is moved about. What is in sight is
// asked for anew at the resolution of the screen, so that the cloth's own pixels are seen.
function wireNearer(frame, { inches, address, tell }) {
  const STEP = 1.5;
  const PER_INCH = 400;
  const MOST_PPI = 800;
  const MOST_PX = 6e6;
  const BESIDE = 0.2;
  const sheet = frame.querySelector('.sheet');
  const near = frame.querySelector('.near');
  let times = 1;
  let at = [0.5, 0.5];
  let timer = null;
  let asked = '';

  const size = () => [frame.clientWidth, frame.clientHeight];
  const most = () => {
    const wide = inches()?.[0];
    return wide ? Math.max(2, (PER_INCH * wide) / size()[0]) : 1;
  };

  function show() {
    const half = 0.5 / times;
    at = at.map((middle) => Math.min(Math.max(middle, half), 1 - half));
    sheet.style.width = 100 * times + '%';
    sheet.style.left = 100 * (0.5 - at[0] * times) + '%';
    sheet.style.top = 100 * (0.5 - at[1] * times) + '%';
    frame.classList.toggle('moves', times > 1);
    tell(times, most());
    clearTimeout(timer);
    if (times > 1) timer = setTimeout(ask, 180);
    else rest();
  }

  function rest() {
    asked = '';
    near.hidden = true;
    near.removeAttribute('src');
  }

  // The part in sight and a little beside it, in whole pixels of the whole picture.
  async function ask() {
    const source = address();
    const [wide, high] = inches() ?? [];
    if (!source || !wide) return;
    const seen = times > 1 ? (1 + 2 * BESIDE) / times : 1;
    const parts = at.map((middle) => [Math.max(0, middle - seen / 2), Math.min(1, middle + seen / 2)]);
    const share = (parts[0][1] - parts[0][0]) * (parts[1][1] - parts[1][0]);
    const sharp = ((size()[0] * times) / wide) * (window.devicePixelRatio || 1);
    const ppi = Math.max(1, Math.floor(Math.min(sharp, MOST_PPI, Math.sqrt(MOST_PX / (wide * high * share)))));
    const whole = [wide, high].map((side) => Math.max(1, Math.floor(side * ppi + 0.5)));
    const from = parts.map(([first], axis) => Math.floor(first * whole[axis]));
    const long = parts.map(([, last], axis) => Math.max(1, Math.ceil(last * whole[axis]) - from[axis]));
    const wanted = source + '&ppi=' + ppi + '&left=' + from[0] + '&top=' + from[1] + '&wide=' + long[0] + '&high=' + long[1];
    if (wanted === asked) return;
    asked = wanted;
    const next = new Image();
    next.src = wanted;
    try {
      await next.decode();
    } catch {
      return;
    }
    if (wanted !== asked) return;
    near.src = wanted;
    near.style.left = (100 * from[0]) / whole[0] + '%';
    near.style.top = (100 * from[1]) / whole[1] + '%';
    near.style.width = (100 * long[0]) / whole[0] + '%';
    near.style.height = (100 * long[1]) / whole[1] + '%';
    near.hidden = false;
  }

  // Nearer about a point of the frame, which stays where it is.
  function bring(to, about = [0.5, 0.5]) {
    const now = Math.min(Math.max(to, 1), most());
    at = at.map((middle, axis) => middle + (about[axis] - 0.5) * (1 / times - 1 / now));
    times = now;
    show();
  }
  const move = (x, y) => {
    at = [at[0] + x / times, at[1] + y / times];
    show();
  };
  const whole = () => {
    times = 1;
    at = [0.5, 0.5];
    show();
  };
  const place = (event) => {
    const edge = frame.getBoundingClientRect();
    return [(event.clientX - edge.left) / edge.width, (event.clientY - edge.top) / edge.height];
  };

  frame.addEventListener('keydown', (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrows = { ArrowLeft: [-0.2, 0], ArrowRight: [0.2, 0], ArrowUp: [0, -0.2], ArrowDown: [0, 0.2] };
    if (event.key === '+' || event.key === '=') bring(times * STEP);
    else if (event.key === '-') bring(times / STEP);
    else if (event.key === '0' || (event.key === 'Escape' && times > 1)) whole();
    else if (arrows[event.key] && times > 1) move(...arrows[event.key]);
    else return;
    event.preventDefault();
  });
  // A pinch on a touch pad comes as a turning wheel with Ctrl; a wheel alone scrolls the page.
  frame.addEventListener('wheel', (event) => {
    if (!event.ctrlKey) return;
    event.preventDefault();
    bring(times * Math.exp(-event.deltaY / 100), place(event));
  }, { passive: false });

  const fingers = new Map();
  let held = null;
  let dragged = false;
  frame.addEventListener('pointerdown', (event) => {
    fingers.set(event.pointerId, place(event));
    dragged = false;
    held = { at: [...at], times, start: spread() };
  });
  frame.addEventListener('pointermove', (event) => {
    if (!fingers.has(event.pointerId) || !held) return;
    fingers.set(event.pointerId, place(event));
    const now = spread();
    const [x, y] = [now.middle[0] - held.start.middle[0], now.middle[1] - held.start.middle[1]];
    if (fingers.size > 1 || (held.times > 1 && Math.hypot(x * size()[0], y * size()[1]) > 4)) dragged = true;
    if (!dragged) return;
    frame.setPointerCapture(event.pointerId);
    const wanted = held.start.apart ? (held.times * now.apart) / held.start.apart : held.times;
    times = Math.min(Math.max(wanted, 1), most());
    // The point that was between the fingers stays between them.
    at = held.at.map((middle, axis) => {
      const under = middle + (held.start.middle[axis] - 0.5) / held.times;
      return under - (now.middle[axis] - 0.5) / times;
    });
    show();
  });
  const lift = (event) => {
    fingers.delete(event.pointerId);
    held = fingers.size ? { at: [...at], times, start: spread() } : null;
  };
  for (const kind of ['pointerup', 'pointercancel']) frame.addEventListener(kind, lift);
  // What ends a drag chooses nothing.
  frame.addEventListener('click', (event) => {
    if (!dragged) return;
    dragged = false;
    event.stopPropagation();
  }, true);
  function spread() {
    const places = [...fingers.values()];
    const middle = [0, 1].map((axis) => places.reduce((sum, each) => sum + each[axis], 0) / (places.length || 1));
    const [one, other] = places;
    const [wide, high] = size();
    return { middle, apart: other ? Math.hypot((one[0] - other[0]) * wide, (one[1] - other[1]) * high) : 0 };
  }
  new ResizeObserver(show).observe(frame);

  return { nearer: () => bring(times * STEP), further: () => bring(times / STEP), whole, fresh: () => { rest(); show(); } };
}
