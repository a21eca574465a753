// The whole job file as text; what is typed is the file.

import { el, say } from '/static/dom.js';
import { change, store } from '/static/store.js';

let area = null;
let base = '';
let sent = null; // the text that is on its way: leaving the field must not send it twice
let timer = 0;

function commit() {
  clearTimeout(timer);
  if (!area || area.value === store.state.text || area.value === sent) return;
  sent = area.value;
  change({ do: 'text', text: area.value, base });
  base = '';
}

/** The text of the file, kept while a person types in it. */
export function textStep(_, box) {
  if (!store.waiting.length) sent = null;
  if (area && box.contains(area)) {
    if (area.value !== store.state.text && !timer && document.activeElement !== area) area.value = store.state.text;
    if (area.value === store.state.text || !timer) base = store.state.version;
    if (!timer && !store.waiting.length && area.value !== store.state.text) {
      const [a, b] = [area.selectionStart, area.selectionEnd];
      area.value = store.state.text;
      area.setSelectionRange(a, b);
    }
    return [box];
  }
  base = store.state.version;
  area = el('textarea', {
    id: 'whole-text', spellcheck: 'false', 'aria-label': say('step_text'), wrap: 'off',
    oninput: () => { clearTimeout(timer); timer = setTimeout(() => { timer = 0; commit(); }, 700); },
    onchange: () => { timer = 0; commit(); },
  });
  area.commit = () => { timer = 0; commit(); };
  area.value = store.state.text;
  return [el('p', { class: 'soft' }, say('text_is_file', { name: store.state.name })), area];
}

/** Puts the cursor where a path of the file stands, as near as the text tells. */
export function cursorAt(path) {
  if (!area) return;
  const lines = area.value.split('\n');
  const key = [...path].reverse().find((p) => typeof p === 'string') ?? '';
  const nth = path.find((p) => typeof p === 'number') ?? 0;
  const head = new RegExp(`^\\s*\\[+[\\w.]*\\b${path[0]}\\b`);
  const heads = lines.map((l, i) => (head.test(l) ? i : -1)).filter((i) => i >= 0);
  const from = heads[Math.min(nth, heads.length - 1)] ?? 0;
  const found = lines.findIndex((l, i) => i >= from && new RegExp(`^\\s*"?${key}"?\\s*=|\\[[\\w.]*${key}\\]`).test(l));
  const line = found < 0 ? from : found;
  const at = lines.slice(0, line).join('\n').length + (line ? 1 : 0);
  area.focus();
  area.setSelectionRange(at, at + lines[line].length);
}
