// The maker's own cloth that is chosen on the shelf: called otherwise, taken out of the stash, put back.
const mine = element.querySelector('.mine');
const called = mine.querySelector('input');
const said = element.querySelector('.said');
const aside = element.querySelector('details');
let cloth = null;
let serial = props.value.serial;

function order(what, which, name) {
  serial += 1;
  const next = { ...props.value, do: what, cloth: which, name, serial };
  props.value = next;
  trigger('ordered', next);
}
const rename = () => { if (cloth) order('rename', cloth.key, called.value); };

mine.querySelector('.rename').addEventListener('click', rename);
called.addEventListener('keydown', (event) => { if (event.key === 'Enter') rename(); });
mine.querySelector('.take-out').addEventListener('click', () => { if (cloth) order('take out', cloth.key, ''); });
aside.addEventListener('click', (event) => {
  const back = event.target.closest('button');
  if (back) order('put back', back.dataset.name, '');
});

function show() {
  const names = [...new Set(props.value.aside)];
  said.textContent = props.value.said;
  said.classList.toggle('wrong', props.value.wrong);
  aside.hidden = !names.length;
  aside.querySelector('summary').textContent = 'Taken out of your stash (' + names.length + ')';
  aside.querySelector('ul').replaceChildren(...names.map((name) => {
    const item = document.createElement('li');
    const words = document.createElement('span');
    const back = document.createElement('button');
    words.textContent = name;
    back.type = 'button';
    back.textContent = 'Put it back';
    back.dataset.name = name;
    back.setAttribute('aria-label', 'Put ' + name + ' back');
    item.append(words, back);
    return item;
  }));
}

document.addEventListener('seamlight:chosen', (event) => {
  const now = event.detail?.source === 'stash' ? event.detail : null;
  if (now?.key === cloth?.key && now?.name === cloth?.name) return;
  if (now?.key !== cloth?.key && cloth && now) said.textContent = '';
  cloth = now;
  mine.hidden = !cloth;
  called.value = cloth?.name ?? '';
});
watch('value', () => {
  show();
  // What was just taken out is offered back in plain sight.
  if (!props.value.do && props.value.serial === serial && serial) {
    if (props.value.said && !props.value.wrong) aside.open = Boolean(props.value.aside.length) && props.value.said.endsWith('out of your stash.');
    document.dispatchEvent(new CustomEvent('seamlight:shelf'));
  }
});
show();
