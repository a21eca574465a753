// One field of a form, made from the job's own schema: its label, its value, what is allowed.

import { DATA, el, say } from '/static/dom.js';
import { edit, store, valueAt } from '/static/store.js';

const { tables, known, units } = DATA.forms;
const IDLE = 900; // ms after the last key

export const idOf = (path) => `f:${path.join('/')}`;
export const placeOf = (path) => path.filter((p) => typeof p === 'string').join('.');

/** The table of the schema at a path: numbers in it stand for entries of a list. */
export function tableAt(path) {
  return tables[path.reduce((t, p) => (typeof p === 'number' ? `${t}[]` : t ? `${t}.${p}` : p), '')] ?? [];
}

/** What a field says as text. */
export function textOf(kind, value) {
  if (value === undefined || value === null) return '';
  if (kind === 'list' || kind === 'quantities') return value.map((v) => (Array.isArray(v) ? v.join(' ') : v)).join(', ');
  if (kind === 'map') return Object.entries(value).map(([k, v]) => `${k} = ${v}`).join(', ');
  return String(value);
}

/** What goes into the file for what was typed. */
export function valueOf(kind, text, whole) {
  const plain = text.trim();
  if (kind === 'whole' || kind === 'number' || kind === 'quantity') return /^[+-]?\d+(\.\d+)?$/.test(plain) ? Number(plain) : plain;
  if (kind === 'yes') return plain === 'true';
  if (kind === 'quantities') return parts(plain).map((v) => (/^[+-]?\d+(\.\d+)?$/.test(v) ? Number(v) : v));
  if (kind === 'list') return parts(plain);
  if (kind === 'map') return Object.fromEntries(parts(plain).map((l) => scalar(l.split(/\s*=\s*/))));
  return whole ? text : plain;
}

/** What a list holds: parted by semicolons where there are any, else by commas. */
const parts = (plain) => plain.split(plain.includes(';') ? /\s*[;\n]\s*/ : /\s*[,\n]\s*/).filter(Boolean);

const scalar = ([k, v = '']) => [k, v === 'true' ? true : v === 'false' ? false : /^[+-]?\d+(\.\d+)?$/.test(v) ? Number(v) : v];

const unitOf = (f) => (f.dimension ? units[valueAt(['job', 'units']) === 'imperial' ? 'imperial' : 'metric'][f.dimension] : '');

/** Findings about this field, or about a part of the list or table that it holds. */
export const faultsAt = (path) => store.state.findings.filter((f) => f.severity === 'error' && f.path.slice(0, path.length).join('/') === path.join('/'));

function put(path, f, text) {
  const before = valueAt(path);
  if (text === textOf(f.kind, before)) return;
  if (text.trim() === '' && !(f.kind === 'text' && before !== undefined && f.needed)) {
    if (before !== undefined) edit({ path, do: 'drop' });
    return;
  }
  edit({ path, value: valueOf(f.kind, text) });
}

function typed(path, f, value) {
  let timer = 0;
  const list = f.known ? `known-${f.known}` : null;
  const node = el('input', {
    id: idOf(path), value: textOf(f.kind, value), list, autocomplete: 'off', spellcheck: 'false',
    placeholder: f.usual !== undefined ? textOf(f.kind, f.usual) : '',
    inputmode: f.kind === 'whole' || f.kind === 'number' ? 'decimal' : null,
    oninput: () => { node.dataset.dirty = '1'; clearTimeout(timer); timer = setTimeout(commit, IDLE); },
    onchange: () => commit(),
    onkeydown: (e) => {
      if (e.key === 'Enter') commit();
      if (e.key === 'Escape') { node.value = textOf(f.kind, valueAt(path)); delete node.dataset.dirty; clearTimeout(timer); }
    },
  });
  node.commit = commit;
  function commit() {
    clearTimeout(timer);
    if (!node.dataset.dirty) return;
    delete node.dataset.dirty;
    put(path, f, node.value);
  }
  return node;
}

function chosen(path, f, value) {
  const values = f.kind === 'yes' ? [['true', say('yes')], ['false', say('no')]] : f.choices.map((c, i) => [c, f.words[i]]);
  const usual = f.usual === undefined ? say('left_out') : say('left_out_usual', { usual: values.find(([v]) => v === String(f.usual))?.[1] ?? f.usual });
  return el('select', { id: idOf(path), onchange: (e) => put(path, f, e.target.value) },
    f.needed && value !== undefined ? null : el('option', { value: '', selected: value === undefined }, usual),
    ...values.map(([v, said]) => el('option', { value: v, selected: String(value) === v }, said)),
    value !== undefined && !values.some(([v]) => v === String(value)) ? el('option', { value: String(value), selected: true }, String(value)) : null);
}

/** One field with its label, its help and what is wrong with it. */
export function fieldOf(path, f) {
  const value = valueAt(path);
  const faults = faultsAt(path);
  const input = f.kind === 'choice' || f.kind === 'yes' ? chosen(path, f, value) : typed(path, f, value);
  const help = `h:${path.join('/')}`;
  input.setAttribute('aria-describedby', `e${help} ${help}`);
  if (faults.length) input.setAttribute('aria-invalid', 'true');
  const example = f.examples.length ? say('such_as', { examples: f.examples.map((e) => textOf(f.kind, e)).join(', ') }) : '';
  return el('div', { class: `field${faults.length ? ' wrong' : ''}` },
    el('label', { for: idOf(path) }, f.label, el('span', { class: 'soft' }, unitOf(f))),
    input,
    el('p', { id: `e${help}`, class: 'fault' }, faults.map((x) => [x.message, x.tip].filter(Boolean).join(' ')).join(' ')),
    el('p', { id: help, class: 'help' }, [f.help, example].filter(Boolean).join(' ')));
}

/** All fields of the table at a path. */
export const fieldsOf = (path, only = null) => tableAt(path)
  .filter((f) => !only || only.includes(f.key)).map((f) => fieldOf([...path, f.key], f));

/** A table with its name above it. */
export function group(title, path, { only = null, more = [], after = [], key = null } = {}) {
  return el('fieldset', { class: 'group', id: key }, el('legend', {}, title), ...more, el('div', { class: 'fields' }, ...fieldsOf(path, only)), ...after);
}

/** The names that fields offer. */
export const lists = () => Object.entries(known).map(([what, names]) =>
  el('datalist', { id: `known-${what}` }, ...names.map((n) => el('option', { value: n }))));
