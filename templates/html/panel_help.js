// Cautions, signs, what is done in the stage, how the page works.

const helpPanel = (() => {
  function sign(icon, text) {
    return el('li', {}, icon, text);
  }

  function body() {
    const stage = girder.stage(view.v.stage);
    return [
      DATA.wrong.length > 0 && el('section', { class: 'stamp' }, el('h3', {}, say('what_is_wrong')), ...DATA.wrong.map((t) => el('p', {}, t))),
      el('h3', {}, say('cautions')), el('ul', { id: 'cautions' }, ...DATA.cautions.map((t) => el('li', {}, t))),
      el('h3', {}, say('legend')), el('ul', { class: 'legend' },
        sign(glyphs.icon('none'), say('sign_open_nail')), sign(glyphs.icon('far'), say('sign_far_nail')),
        sign(glyphs.icon('none', 'bolt'), say('sign_open_bolt')),
        DATA.stages.some((s) => s.added) && [['add', 'nail', 'sign_add_nail'], ['add', 'bolt', 'sign_add_bolt'], ['add-good', 'nail', 'sign_added']]
          .map(([name, kind, words]) => sign(glyphs.icon(name, kind), say(words))),
        ...DATA.states.map((s) => sign(glyphs.icon(s, DATA.bolt_only.includes(s) ? 'bolt' : 'nail'), say(`state_${s}`)))),
      el('h3', {}, `${girder.stageWords(stage)}${COLON}${say('actions')}`),
      el('ol', {}, ...stage.action.map((t) => el('li', {}, t))),
      el('h3', {}, say('how')), el('ul', {}, ...[...(DATA.after ? ['how_added'] : []), 'how_tap', 'how_drag', 'how_member'].map((k) => el('li', {}, say(k)))),
    ];
  }

  return { body };
})();
