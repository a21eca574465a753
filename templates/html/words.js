// The page's words, and the data that they come with.

const DATA = JSON.parse(document.getElementById('data').textContent);

/** The text of this key with its {values} put in; a key that is not there is an error. */
function say(key, values = {}) {
  if (!Object.hasOwn(DATA.words, key)) throw new Error(`no words for ${key}`);
  return DATA.words[key].replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}

// Signs that other languages set apart from the word before them.
const COLON = say('colon');
const SEMICOLON = say('semicolon');
