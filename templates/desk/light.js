// Light or dark: the machine's own setting, unless it was chosen here.

import { button, say } from '/static/dom.js';

const KEY = 'girderply-desk-light';
const dark = () => matchMedia('(prefers-color-scheme: dark)').matches;

function set(value) {
  document.documentElement.dataset.light = value;
}

set(localStorage.getItem(KEY) ?? (dark() ? 'dark' : 'light'));

/** The button that changes from light to dark and back. */
export function lights() {
  const now = () => document.documentElement.dataset.light;
  const word = () => say(now() === 'dark' ? 'light_on' : 'light_off');
  const made = button(word(), () => {
    set(now() === 'dark' ? 'light' : 'dark');
    localStorage.setItem(KEY, now());
    made.textContent = word();
  });
  return made;
}
