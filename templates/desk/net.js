// Asking the server. What was typed is kept in this browser until the server has it.

import { DATA, say, tell } from '/static/dom.js';

export class Refused extends Error {
  constructor(status, data) {
    super(data.fault ?? String(status));
    this.status = status;
    this.data = data;
  }
}

/** An answer as plain data; `Refused` where the server says no, another error where there is none. */
export async function get(address) {
  const answer = await fetch(address, { credentials: 'same-origin', cache: 'no-store' });
  const data = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Refused(answer.status, data);
  return data;
}

export async function post(address, body) {
  const bytes = body instanceof Blob;
  const answer = await fetch(address, {
    method: 'POST',
    credentials: 'same-origin',
    keepalive: !bytes && JSON.stringify(body).length < 50_000, // a change outlives its page
    headers: { 'Content-Type': bytes ? 'application/octet-stream' : 'application/json' },
    body: bytes ? body : JSON.stringify(body),
  });
  const data = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Refused(answer.status, data);
  return data;
}

/** Chooses the language of all pages. */
export async function speak(language) {
  await post('/language', { language });
  location.reload();
}

export const fault = (problem) => tell(
  problem instanceof Refused ? [problem.data.fault, problem.data.tip].filter(Boolean).join(' ') || say(problem.status === 403 ? 'refused_cookie' : 'fault_inside')
    : say('no_answer'), true);

export const other = () => (DATA.language !== 'fr' ? 'fr' : navigator.languages.includes('en-US') ? 'en-US' : 'en');

/** Lets files be dropped anywhere on the page. */
export function dropping(take) {
  const over = (yes) => document.body.classList.toggle('over', yes);
  addEventListener('dragover', (e) => { if (e.dataTransfer?.types.includes('Files')) { e.preventDefault(); over(true); } });
  addEventListener('dragleave', (e) => { if (!e.relatedTarget) over(false); });
  addEventListener('drop', (e) => {
    if (!e.dataTransfer?.files.length) return;
    e.preventDefault();
    over(false);
    take([...e.dataTransfer.files]);
  });
}
