// The roles of the block and the cloth to give them. Names are only ever set as text, never as markup.
const rolesBox = element.querySelector('.roles');
const clothsBox = element.querySelector('.cloths');
const heading = element.querySelector('.cloths-for');
const find = element.querySelector('.find');
const line = element.querySelector('.line');
let cloths = [];
let open = null;
let version = null;
// Names of cloths seen so far: one that was taken out of the stash is still called by its name.
const names = new Map();
// What the maker chose last. An answer to an earlier choice brings roles, but never takes a choice back.
let serial = 0;
let mine = { block: props.value.block, cloths: props.value.cloths };
let waiting = false;

function make(tag, attributes, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

function picture(key) {
  const cloth = cloths.find((each) => each.key === key);
  const img = make('img', { alt: '', loading: 'lazy', width: 72, height: 72 });
  // Of a cloth that was taken out of the stash there is no picture any more.
  if (cloth || !cloths.length) img.src = '/cloth/' + encodeURIComponent(key) + '.png?seen=' + (cloth?.stamp ?? '');
  return img;
}

function nameOf(key) {
  return names.get(key) ?? key;
}

function showRoles() {
  const chosen = props.value.cloths;
  if (!props.value.roles.some((each) => each.role === open)) open = props.value.roles[0]?.role ?? null;
  const kept = rolesBox.contains(document.activeElement);
  rolesBox.replaceChildren(...props.value.roles.map(({ role, about }) => {
    const text = make('span', { class: 'words' });
    const title = make('span', { class: 'role' });
    title.textContent = role;
    const cloth = make('span', { class: 'cloth' });
    cloth.textContent = nameOf(chosen[role]);
    text.append(title, cloth);
    const button = make('button', {
      type: 'button', role: 'radio', 'aria-checked': String(role === open), tabindex: role === open ? 0 : -1,
      title: about, 'data-role': role,
    }, picture(chosen[role]), text);
    return button;
  }));
  if (kept) rolesBox.querySelector('[aria-checked=true]')?.focus();
}

// One sentence about the cloth that is chosen: of the maker's own, how far it can be trusted.
function showLine() {
  const cloth = cloths.find((each) => each.key === props.value.cloths[open]);
  line.textContent = cloth ? cloth.name + ': ' + cloth.line : '';
  document.dispatchEvent(new CustomEvent('seamlight:chosen', { detail: cloth ?? null }));
}

function showCloths() {
  showLine();
  const chosen = props.value.cloths[open];
  const words = find.value.trim().toLowerCase().split(/\s+/);
  heading.textContent = open === null ? '' : 'Cloth for ' + open;
  clothsBox.setAttribute('aria-label', heading.textContent);
  const seen = cloths.filter((cloth) => words.every((word) => (cloth.name + ' ' + cloth.kind).toLowerCase().includes(word)));
  const first = seen.some((cloth) => cloth.key === chosen) ? chosen : seen[0]?.key;
  clothsBox.replaceChildren(...seen.map((cloth) => {
    const name = make('span', { class: 'name' });
    name.textContent = cloth.name;
    return make('div', {
      role: 'option', 'aria-selected': String(cloth.key === chosen), tabindex: cloth.key === first ? 0 : -1,
      title: cloth.line, 'data-key': cloth.key,
    }, picture(cloth.key), name);
  }));
  if (!seen.length) clothsBox.append(make('p', { class: 'none' }, cloths.length ? 'No cloth of that name.' : 'Fetching the cloth…'));
}

function openRole(role, focus) {
  open = role;
  showRoles();
  showCloths();
  if (focus) rolesBox.querySelector('[aria-checked=true]')?.focus();
}

function give(key) {
  // While another block is on its way, there is nothing yet to give a cloth to.
  if (waiting || open === null || props.value.cloths[open] === key) return;
  serial += 1;
  const next = { ...props.value, cloths: { ...props.value.cloths, [open]: key }, serial };
  mine = { block: next.block, cloths: next.cloths };
  props.value = next;
  showRoles();
  for (const option of clothsBox.querySelectorAll('[role=option]')) {
    option.setAttribute('aria-selected', String(option.dataset.key === key));
  }
  showLine();
  trigger('given', next);
}

// One tab stop for each group; arrows, Home and End move within it.
function step(event, box, selector) {
  const all = [...box.querySelectorAll(selector)];
  const at = all.indexOf(event.target.closest(selector));
  if (at < 0) return null;
  const columns = Math.max(1, all.filter((each) => each.offsetTop === all[0].offsetTop).length);
  const to = { ArrowRight: at + 1, ArrowLeft: at - 1, ArrowDown: at + columns, ArrowUp: at - columns, Home: 0, End: all.length - 1 }[event.key];
  if (to === undefined || !all[to]) return null;
  event.preventDefault();
  for (const each of all) each.tabIndex = -1;
  all[to].tabIndex = 0;
  all[to].focus();
  return all[to];
}

rolesBox.addEventListener('click', (event) => {
  const button = event.target.closest('[data-role]');
  if (button) openRole(button.dataset.role, true);
});
rolesBox.addEventListener('keydown', (event) => {
  const to = step(event, rolesBox, '[data-role]');
  if (to) openRole(to.dataset.role, true);
});
clothsBox.addEventListener('click', (event) => {
  const option = event.target.closest('[data-key]');
  if (option) give(option.dataset.key);
});
clothsBox.addEventListener('keydown', (event) => {
  const option = event.target.closest('[data-key]');
  if (option && (event.key === 'Enter' || event.key === ' ')) {
    event.preventDefault();
    give(option.dataset.key);
  } else {
    step(event, clothsBox, '[data-key]');
  }
});
find.addEventListener('input', showCloths);
document.addEventListener('seamlight:role', (event) => openRole(event.detail, false));

async function fetchCloths() {
  const before = cloths;
  const answer = await fetch('/shelf.json');
  if (!answer.ok) return;
  cloths = await answer.json();
  for (const cloth of cloths) names.set(cloth.key, cloth.name);
  if (before.length) follow(before);
  showRoles();
  showCloths();
}

// What was changed in the stash meanwhile, by this page or by the command, is shown as it now is. A cloth
// that was put in place of another of its name is taken for it.
function follow(before) {
  const now = new Map(cloths.map((each) => [each.key, each]));
  const was = new Map(before.map((each) => [each.key, each]));
  const chosen = { ...props.value.cloths };
  let changed = false;
  for (const [role, key] of Object.entries(chosen)) {
    if (was.get(key)?.stamp === now.get(key)?.stamp) continue;
    changed = true;
    const instead = now.has(key) ? null : cloths.find((each) => each.name === was.get(key)?.name);
    if (instead) chosen[role] = instead.key;
  }
  if (!changed || waiting) return;
  serial += 1;
  const next = { ...props.value, cloths: chosen, serial };
  mine = { block: next.block, cloths: chosen };
  props.value = next;
  trigger('given', next);
}

async function lookAgain() {
  if (document.hidden) return;
  try {
    const answer = await fetch('/shelf-version.json');
    if (!answer.ok) return;
    const now = (await answer.json()).version;
    const other = version !== null && now !== version;
    version = now;
    if (other) await fetchCloths();
  } catch {
    // The program has stopped; the next choice tells of it.
  }
}
window.addEventListener('focus', lookAgain);
document.addEventListener('visibilitychange', lookAgain);
setInterval(lookAgain, 3000);
document.addEventListener('seamlight:shelf', fetchCloths);
document.addEventListener('seamlight:block', (event) => {
  serial += 1;
  mine = { block: event.detail, cloths: {} };
  wait(true);
  const next = { block: event.detail, cloths: {}, roles: [], serial };
  props.value = next;
  trigger('given', next);
});

function wait(now) {
  waiting = now;
  element.classList.toggle('busy', now);
  clothsBox.setAttribute('aria-busy', String(now));
}

watch('value', () => {
  const value = props.value;
  if (!value.roles.length) return;
  if (value.block !== mine.block) {
    props.value = { ...mine, roles: [], serial };
    return;
  }
  const cloths = { ...value.cloths, ...mine.cloths };
  const stale = Object.entries(cloths).some(([role, key]) => value.cloths[role] !== key);
  mine = { block: value.block, cloths };
  if (stale) props.value = { ...value, cloths, serial };
  wait(false);
  showRoles();
  showCloths();
});
showRoles();
fetchCloths();
lookAgain();
