// Elements from plain calls; texts are always texts, never markup.

const SPACE = 'http://www.w3.org/2000/svg';

export const DATA = JSON.parse(document.getElementById('data').textContent);
export const byId = (id) => document.getElementById(id);

function filled(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : value);
  }
  node.append(...children.flat(2).filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

/** An HTML element; attributes that start with "on" are listeners. */
export const el = (tag, attributes = {}, ...children) =>
  filled(document.createElement(tag), attributes, children);

/** An SVG element. */
export const svg = (tag, attributes = {}, ...children) =>
  filled(document.createElementNS(SPACE, tag), attributes, children);

/** A button that does something. */
export const button = (label, act, more = {}) =>
  el('button', { type: 'button', onclick: act, ...more }, label);

/** A word of the page, with its values put in; `n` decides between one and more. */
export function say(key, values = {}) {
  let text = DATA.words[key] ?? key;
  if (typeof text !== 'string') {
    text = text[new Intl.PluralRules(DATA.language).select(values.n)] ?? text.other;
  }
  return text.replace(/\{(\w+)\}/g, (_, name) => values[name] ?? '');
}

let fading = 0;

/** A short message to the person; a strong one stays longer. */
export function tell(text, strong = false) {
  const box = byId('word');
  clearTimeout(fading);
  box.replaceChildren(text ? el('p', { class: strong ? 'strong' : '' }, text) : '');
  fading = setTimeout(() => box.replaceChildren(), strong ? 20000 : 6000);
}

/** Waits until a person has chosen one of the answers; the key of the answer, or null. */
export function ask(title, lines, answers) {
  return new Promise((done) => {
    const box = el('dialog', { class: 'ask', 'aria-label': title },
      el('h2', {}, title), ...lines.map((l) => el('p', {}, l)),
      el('div', { class: 'row' }, ...answers.map(([key, label], i) =>
        button(label, () => box.close(key), { class: i === 0 ? 'main' : '' }))));
    box.addEventListener('close', () => { box.remove(); done(box.returnValue || null); });
    document.body.append(box);
    box.showModal();
  });
}

/** The sign of a verdict: a shape that tells without colour. */
export function verdictSign(state) {
  const d = {
    good: 'M16 3a13 13 0 1 0 .01 0ZM9.5 16.5l4.5 4.5 8.5-10',
    refused: 'M10 3h12l7 7v12l-7 7H10l-7-7V10ZM8 16h16',
    waiting: 'M16 3a13 13 0 1 0 .01 0ZM16 8v9l6 4',
    unread: 'M4 4h24v24H4ZM12 12c0-6 9-6 8 0 0 3-4 3-4 7M16 23v1.5',
  }[state] ?? 'M4 16h24';
  return svg('svg', { viewBox: '0 0 32 32', class: `sign ${state}`, 'aria-hidden': 'true' }, svg('path', { d }));
}
