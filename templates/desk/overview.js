// The folder at a glance, and a new girder from the drawings of the shapes.

import { DATA, button, byId, el, say, tell, verdictSign } from '/static/dom.js';
import { dropping, fault, get, other, post, speak } from '/static/net.js';
import { sketch } from '/static/sketch.js';
import { lights } from '/static/light.js';

const address = (name) => `/girder/${encodeURIComponent(name)}`;

function card(name) {
  const box = el('a', { class: 'card', href: address(name) }, el('h2', {}, name), el('p', { class: 'soft' }, say('working')));
  return box;
}

function filled(box, c) {
  box.replaceChildren(
    el('h2', {}, c.mark ?? c.name, el('span', { class: 'soft' }, c.title ?? '')),
    c.scene ? sketch(c.scene, say('elevation_of', { mark: c.mark }), c.loads) : el('p', { class: 'gap' }, c.first),
    el('p', { class: `verdict ${c.verdict.state}` }, verdictSign(c.verdict.state), c.verdict.said),
    el('dl', {}, ...c.lines.flatMap(([k, v]) => [el('dt', {}, k), el('dd', {}, v)])),
    el('p', { class: 'soft' }, [c.job, c.name].filter(Boolean).join(' · ')));
}

async function fill(names, boxes) {
  for (const [i, name] of names.entries()) {
    try {
      filled(boxes[i], await get(`${address(name)}/card`));
    } catch (problem) {
      boxes[i].replaceChildren(el('h2', {}, name), el('p', {}, problem.message));
    }
  }
}

// --- a new girder ---------------------------------------------------------------------------

const USUAL = { metric: '9.6 m', imperial: '32 ft' };
const UNITS = ['mm', 'cm', 'm', 'in', 'ft'];
let drawing = null; // a file that the new girder is read from, instead of a shape
const wish = { unit: '', kind: 'howe', span: USUAL.metric, pitch: '', height: '', panels: '', plies: '2', mark: '', number: '', units: 'metric' };
let turn = 0;

function starter() {
  const takes = {};
  const drawn = el('div', { class: 'preview', 'aria-live': 'polite' });
  const kinds = el('div', { class: 'shapes', role: 'radiogroup', 'aria-label': say('new_shape') });
  const field = (key, label, example, more = '') => el('label', { class: `field ${more}` }, el('span', {}, label),
    el('input', { name: key, placeholder: example, value: wish[key], autocomplete: 'off', oninput: (e) => { wish[key] = e.target.value.trim(); look(); } }));
  const spans = el('div', { class: 'stepper' },
    button('−', () => stepped(-1), { 'aria-label': say('new_shorter') }),
    el('input', { name: 'span', id: 'span', value: wish.span, autocomplete: 'off', oninput: (e) => { wish.span = e.target.value.trim(); look(); } }),
    button('+', () => stepped(1), { 'aria-label': say('new_longer') }));

  /** A little longer or shorter, where the span is a number and a unit. */
  function stepped(by) {
    const found = /^(\d+(?:[.,]\d+)?)\s*(mm|m|ft|in)?$/.exec(wish.span);
    if (!found) return;
    const unit = found[2] ?? (wish.units === 'metric' ? 'mm' : 'in');
    const step = { mm: 100, m: 0.1, ft: 0.5, in: 6 }[unit];
    wish.span = `${+(Number(found[1].replace(',', '.')) + by * step).toFixed(2)} ${unit}`;
    form.querySelector('#span').value = wish.span;
    look();
  }

  function united(value) {
    if (wish.span === USUAL.metric || wish.span === USUAL.imperial) {
      wish.span = USUAL[value];
      form.querySelector('#span').value = wish.span;
    }
  }

  const choice = (key, label, values, more = '') => el('label', { class: `field ${more}` }, el('span', {}, label),
    el('select', { name: key, onchange: (e) => { wish[key] = e.target.value; if (key === 'units') united(wish.units); look(); } },
      ...values.map(([v, said]) => el('option', { value: v, selected: wish[key] === v }, said))));
  let timer = 0;

  async function look() {
    clearTimeout(timer);
    timer = setTimeout(async () => {
      const mine = ++turn;
      if (!drawing && !wish.span) { drawn.replaceChildren(el('p', { class: 'soft' }, say('new_span_first'))); return; }
      try {
        const answer = await asked(false);
        if (mine === turn) drawn.replaceChildren(...shown(answer));
      } catch (problem) { fault(problem); }
    }, 120);
  }

  function shown(answer) {
    if (answer.findings) return answer.findings.map((f) => el('p', { class: 'finding error' }, [f.message, f.tip].filter(Boolean).join(' ')));
    if (!drawing) return [sketch(answer.scene, wish.kind)];
    return [sketch(answer.scene, drawing.name), ...answer.notes.map((n) => el('p', {}, n)),
      answer.guesses.length ? el('details', { open: true }, el('summary', {}, say('drawn_guessed')), el('div', { class: 'scrolls', tabindex: 0, role: 'region', 'aria-label': say('drawn_guessed') }, el('table', { class: 'rows' },
        el('tbody', {}, ...answer.guesses.map(([key, value, why]) => el('tr', {}, el('th', { scope: 'row' }, key), el('td', {}, value), el('td', {}, why))))))) : ''];
  }

  /** What comes of the shape or of the drawing; with `keep` it is put on the desk. */
  function asked(keep) {
    if (!drawing) return post('/new', { ...wish, pitch: steep() ? wish.pitch : '', plies: Number(wish.plies), keep });
    const { unit, plies, mark, number, units } = wish;
    const said = new URLSearchParams({ file: drawing.name, unit, plies, mark, number, units, ...(keep ? { keep: '1' } : {}) });
    return post(`/trace?${said}`, drawing);
  }

  const steep = () => takes[wish.kind]?.includes('pitch') ?? true;
  const suited = () => { // a level top has no pitch
    form.classList.toggle('level', !steep());
    form.querySelector('[name=height]').placeholder = steep() ? say('new_height_instead') : '';
  };

  /** Takes a drawing, or goes back to the shapes. */
  function draws(file) {
    drawing = file ?? null;
    form.classList.toggle('drawn', drawing !== null);
    named.replaceChildren(drawing ? el('strong', {}, drawing.name) : '', drawing ? button(say('drawn_again'), () => draws(null), { class: 'small', id: 'drawn-again' }) : '');
    drawn.replaceChildren(drawing ? el('p', { class: 'soft' }, say('working')) : '');
    look();
  }

  async function keep(event) {
    event.preventDefault();
    if (!drawing && !wish.span) { form.querySelector('[name=span]').focus(); tell(say('new_span_first')); return; }
    try {
      const answer = await asked(true);
      if (answer.name) location.href = address(answer.name);
      else drawn.replaceChildren(...shown(answer));
    } catch (problem) { fault(problem); }
  }

  const named = el('span', { class: 'row' });
  const chooser = el('input', { type: 'file', id: 'drawing', accept: '.dxf,.btlx,.ifc,.xlsx', class: 'unseen', tabindex: -1, 'aria-label': say('drawn_choose'), onchange: (e) => draws(e.target.files[0]) });
  dropping((files) => draws(files[0]));

  const form = el('form', { class: 'starter', id: 'new', onsubmit: keep },
    el('h2', {}, say('new_girder')), kinds,
    el('div', { class: 'row' }, el('span', { class: 'soft' }, say('drawn_from')), chooser,
      button(say('drawn_choose'), () => chooser.click(), { id: 'drawn-choose', class: 'small' }), named, el('span', { class: 'soft' }, say('drawn_what'))),
    el('div', { class: 'fields' },
      el('div', { class: 'field of-shape' }, el('label', { for: 'span' }, say('new_span')), spans), field('pitch', say('new_pitch'), '22.5 deg', 'of-shape of-slope'),
      field('height', say('new_height'), say('new_height_instead'), 'of-shape'), field('panels', say('new_panels'), say('new_panels_usual'), 'of-shape'),
      choice('unit', say('drawn_unit'), [['', say('drawn_unit_said')], ...UNITS.map((u) => [u, u])], 'of-drawing'),
      choice('plies', say('new_plies'), ['2', '3', '4', '5', '6'].map((n) => [n, n])),
      field('mark', say('new_mark'), 'G1'), field('number', say('new_number'), 'RH-014'),
      choice('units', say('new_units'), [['metric', say('units_metric')], ['imperial', say('units_imperial')]])),
    drawn,
    el('button', { class: 'main', type: 'submit' }, say('new_keep')));

  get('/shapes').then((list) => kinds.replaceChildren(...list.map((s) => ((takes[s.kind] = s.takes), s)).map((s) => el('label', { class: 'shape' },
    el('input', { type: 'radio', name: 'kind', value: s.kind, checked: s.kind === wish.kind, onchange: () => { wish.kind = s.kind; suited(); look(); } }),
    sketch(s.scene, ''), el('span', {}, s.said))))).catch(fault);
  look();
  return form;
}

/** Leads past the cards to the shapes. */
function toNew() {
  byId('new').scrollIntoView({ block: 'start' });
  byId('new').querySelector('input[name=kind]:checked')?.focus({ preventScroll: true });
}

function main() {
  if (DATA.names.length) byId('tools').append(button(say('new_girder'), toNew, { id: 'to-new', class: 'main' }));
  byId('tools').append(el('a', { href: '/firm', class: 'take', id: 'to-firm' }, DATA.firm || say('firm')), lights(), button(say(`language_${other()}`), () => speak(other())));
  const boxes = DATA.names.map(card);
  byId('rack').append(
    DATA.names.length ? el('div', { class: 'cards' }, ...boxes) : el('p', { class: 'soft' }, say('folder_empty')),
    starter());
  fill(DATA.names, boxes);
}

main();
