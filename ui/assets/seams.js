// Each line of the readings points at its edge in the picture.
function tell(event) {
  const row = event.target.closest('[data-edge]');
  const detail = row ? { edge: row.dataset.edge, words: row.dataset.words } : null;
  document.dispatchEvent(new CustomEvent('seamlight:edge', { detail }));
}
for (const kind of ['pointerover', 'focusin', 'click']) element.addEventListener(kind, tell);
for (const kind of ['pointerleave', 'focusout']) {
  element.addEventListener(kind, () => document.dispatchEvent(new CustomEvent('seamlight:edge', { detail: null })));
}
