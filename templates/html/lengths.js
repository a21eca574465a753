// Lengths that people type, in the job's own unit: mm, or inches in decimals or sixteenths.

const lengths = (() => {
  const U = DATA.units;
  const most = 1000; // mm; more is a slip of the finger

  const round = (mm) => Math.round(mm * 100) / 100;

  /** Millimetres to a hundredth, or null where the text is not a length of 0 or more. */
  function parse(text) {
    const t = text.trim().replace(',', '.').replace(/["”″]$/, '').replace(/\s*(mm|in)$/, '').trim();
    let value = null;
    if (/^\d{1,4}(\.\d{1,4})?$/.test(t)) value = Number(t);
    const m = U.sixteenths && /^(?:(\d{1,2})[\s-]+)?(\d{1,2})\/(\d{1,2})$/.exec(t);
    if (m && Number(m[3]) > 0) value = Number(m[1] || 0) + Number(m[2]) / Number(m[3]);
    if (value === null) return null;
    const mm = round(value * U.size);
    return mm <= most ? mm : null;
  }

  function sixteenths(mm) {
    const total = Math.round((mm / 25.4) * 16);
    let [up, down] = [total % 16, 16];
    while (up && up % 2 === 0) [up, down] = [up / 2, down / 2];
    const whole = Math.floor(total / 16);
    if (!up) return String(whole);
    return whole ? `${whole} ${up}/${down}` : `${up}/${down}`;
  }

  /** The number alone, as it stands in a field. */
  const plain = (mm) => (U.sixteenths ? sixteenths(mm) : String(round(mm)).replace('.', U.decimal));

  /** With its unit. */
  const text = (mm) => (U.sixteenths ? `${sixteenths(mm)}"` : `${plain(mm)}\u00a0mm`);

  /** One large-button step up or down, never below 0. */
  function step(mm, steps, small = false) {
    const size = small ? U.small_step : U.step;
    const next = Math.max(0, (Math.round((mm || 0) / size) + steps) * size);
    return Math.min(most, round(next));
  }

  return { parse, plain, text, step, unit: U.unit };
})();
