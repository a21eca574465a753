// Photos of hold points and faults: made smaller here, kept in the record, shown by their pixels.

const photos = (() => {
  const [EDGE, BYTES, MOST] = [1280, 120000, 24]; // px of the longer side; characters of one; of all

  const of = (what) => state.now.photos.filter((p) => p.of === what);

  const now = () => {
    const d = new Date();
    return new Date(d.getTime() - d.getTimezoneOffset() * 60000).toISOString().slice(0, 16);
  };

  /** A picture file as JPEG in base64, as large as fits the record. */
  async function smaller(file) {
    const picture = await createImageBitmap(file);
    let edge = EDGE;
    for (;;) {
      const f = Math.min(1, edge / Math.max(picture.width, picture.height));
      const [width, height] = [picture.width, picture.height].map((v) => Math.max(1, Math.round(v * f)));
      const canvas = el('canvas', { width, height });
      canvas.getContext('2d').drawImage(picture, 0, 0, width, height);
      for (const quality of [0.75, 0.6, 0.45]) {
        const jpeg = canvas.toDataURL('image/jpeg', quality).split(',')[1];
        if (jpeg.length <= BYTES || edge < 200) return { width, height, jpeg };
      }
      edge = Math.round(edge * 0.75);
    }
  }

  async function take(e, what) {
    const [file] = e.target.files;
    e.target.value = '';
    if (!file) return;
    if (state.now.photos.length >= MOST) { show.message(say('photo_most', { n: MOST }), true); return; }
    try {
      const made = await smaller(file);
      state.field('photos', [...state.now.photos, { of: what, taken: now(), ...made }], say('photo'));
      show.message(say('photo_kept', { width: made.width, height: made.height }));
    } catch { show.message(say('photo_none'), true); }
  }

  function thumb(p) {
    const width = Math.max(1, Math.round((p.width / p.height) * 90));
    const canvas = el('canvas', { width, height: 90, class: 'thumb', role: 'img', 'aria-label': `${say('photo')} ${p.taken}` });
    const bytes = Uint8Array.from(atob(p.jpeg), (c) => c.charCodeAt(0));
    createImageBitmap(new Blob([bytes], { type: 'image/jpeg' }))
      .then((picture) => canvas.getContext('2d').drawImage(picture, 0, 0, width, 90), () => {});
    return el('span', { class: 'photo' }, canvas, button('\u00d7', () => {
      state.field('photos', state.now.photos.filter((x) => x !== p), say('photo'));
    }, { name: say('photo_away'), kind: 'square' }));
  }

  const NEAR = 301; // mm of a member that one photo shows; places are rounded
  const before = new Set((DATA.after || {}).photos); // taken at an earlier visit
  const asked = (what) => DATA.photos && !of(what).length && !before.has(what);

  /** Faults that no photo shows, by their index: one photo shows those beside it. */
  function unseen() {
    if (!DATA.photos) return [];
    const { M, index, group } = girder;
    const taken = [...before, ...state.now.photos.map((p) => p.of)].filter((what) => index.has(what)).map((what) => index.get(what));
    const shows = (i, j) => group(i).member === group(j).member && Math.hypot(M.x[i] - M.x[j], M.y[i] - M.y[j]) <= NEAR;
    return [...state.now.marks].filter(([i, m]) => m.state !== 'good' && !taken.some((j) => shows(i, j))).map(([i]) => i);
  }

  const wants = (what) => (girder.index.has(what) ? unseen().includes(girder.index.get(what)) : asked(what));

  /** A button for one more, and what there is. */
  function field(what, id) {
    const input = el('input', { id, type: 'file', accept: 'image/*', capture: 'environment', hidden: true, onchange: (e) => take(e, what) });
    return el('section', { class: 'photos' }, wants(what) && el('p', { class: 'warn' }, `\u26a0 ${say('photo_asked')}`),
      button(say('photo_take'), () => input.click(), { id: `${id}-take` }), input, ...of(what).map(thumb));
  }

  return { field, of, asked, unseen, MOST };
})();
