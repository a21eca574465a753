// Elements from plain calls; texts are always texts, never markup.

const SVG_NS = 'http://www.w3.org/2000/svg';

function fill(node, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith('on')) node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : value);
  }
  node.append(...children.flat().filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

/** An HTML element; attributes that start with "on" are listeners. */
function el(tag, attributes = {}, ...children) {
  return fill(document.createElement(tag), attributes, children);
}

/** An SVG element. */
function svg(tag, attributes = {}, ...children) {
  return fill(document.createElementNS(SVG_NS, tag), attributes, children);
}

/** A large button; `pressed` true or false makes it a switch. */
function button(label, act, { pressed = null, kind = '', disabled = false, id = null, name = null } = {}) {
  const children = Array.isArray(label) ? label : [label];
  return el('button', {
    type: 'button', class: kind, id, disabled, 'aria-label': name,
    'aria-pressed': pressed === null ? null : String(pressed), onclick: act,
  }, ...children);
}

const byId = (id) => document.getElementById(id);

const show = {
  /** A short message at the bottom; it stays until the next one or eight seconds. */
  message(text, strong = false) {
    const box = byId('message');
    clearTimeout(show.timer);
    box.replaceChildren(el('p', { class: strong ? 'strong' : '' }, text));
    show.timer = setTimeout(() => box.replaceChildren(), strong ? 20000 : 6000);
  },
  timer: 0,
};
