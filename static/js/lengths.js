// Lengths as whole ticks of 1/1920 mm: the same reader and printer as the server's.
// Fractions are exact (BigInt); tests/vectors/lengths.json holds the two sides together.

export const MM = 1920;
export const INCH = 48768;
export const FOOT = 12 * INCH;
export const METRE = 1000 * MM;
export const LARGEST = 10000 * METRE;

const NBSP = "\u00a0";
const SLASH = "\u2044";
const MINUS = "\u2212";

// What was typed is no length; the message is a sentence for a person.
export class NotALength extends Error {}

// ---- exact fractions -------------------------------------------------------------

const big = (value) => BigInt(value);
const fraction = (top, bottom = 1n) => ({ top: big(top), bottom: big(bottom) });
const plus = (a, b) => ({
  top: a.top * b.bottom + b.top * a.bottom,
  bottom: a.bottom * b.bottom,
});
const times = (a, whole) => ({ top: a.top * big(whole), bottom: a.bottom });
const exceeds = (a, whole) => a.top > big(whole) * a.bottom;
const atLeast = (a, whole) => a.top >= big(whole) * a.bottom;

function greatestCommon(a, b) {
  while (b) [a, b] = [b, a % b];
  return a;
}

// Nearest whole number, halves away from zero.
function halfUp(value) {
  const size = value.top < 0n ? -value.top : value.top;
  const whole = (2n * size + value.bottom) / (2n * value.bottom);
  return value.top < 0n ? -whole : whole;
}

function decimal(word) {
  const [whole, rest = ""] = word.split(".");
  return fraction(big(`${whole}${rest}` || "0"), 10n ** big(rest.length));
}

// ---- reading ---------------------------------------------------------------------

const GLYPHS = {
  "½": [1, 2], "⅓": [1, 3], "⅔": [2, 3], "¼": [1, 4], "¾": [3, 4],
  "⅕": [1, 5], "⅖": [2, 5], "⅗": [3, 5], "⅘": [4, 5], "⅙": [1, 6],
  "⅚": [5, 6], "⅛": [1, 8], "⅜": [3, 8], "⅝": [5, 8], "⅞": [7, 8],
};
const METRIC = { mm: MM, cm: 10 * MM, m: METRE };
const SPACE = "[ \\t\\n\\r\\f\\v]*";
const TOKENS = [
  ["frac", "[0-9]{1,6}[/\\u2044][0-9]{1,6}(?![0-9./\\u2044])"],
  ["glyph", "[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]"],
  ["num", "(?:[0-9]{1,9}(?:\\.[0-9]{1,9})?|\\.[0-9]{1,9})(?![0-9./\\u2044])"],
  ["inch", "\"|″|”|“|''|′′|’’|inches\\b|inch\\b|in\\b\\.?"],
  ["foot", "'|′|’|‘|feet\\b|foot\\b|ft\\b\\.?"],
  ["metric", "mm\\b|cm\\b|m\\b"],
  ["plus", "\\+"],
  ["dash", "[-\\u2010\\u2011\\u2012\\u2013\\u2212]"],
];
const TOKEN = new RegExp(
  `(${SPACE})(?:${TOKENS.map(([kind, shape]) => `(?<${kind}>${shape})`).join("|")})`,
  "iy",
);
const END = { kind: "", word: "the end", tight: false };
const BLANK = "[\\s\\u001c-\\u001f\\u0085]+";
const trim = (text) =>
  text.replace(new RegExp(`^${BLANK}`), "").replace(new RegExp(`${BLANK}$`), "");
const begin = (text, count) => [...text].slice(0, count).join("");

class Reader {
  constructor(text, imperial) {
    this.text = text;
    this.imperial = imperial;
    this.at = 0;
    this.tokens = this.split();
  }

  get shown() {
    return `“${begin(this.text, 40)}”`;
  }

  get hint() {
    return this.imperial
      ? "write 75 1/2, 6' 3 1/2\" or 1917 mm."
      : "write 1917, 191.7 cm, 1.917 m or 6' 3 1/2\".";
  }

  split() {
    if ([...this.text].length > 80) {
      throw new NotALength("That is too long for a length; write one, such as 75 1/2.");
    }
    const text = trim(this.text.replace(/[\u00a0\u2009\u202f]/g, " ")).replace(
      /([a-zA-Z])(?=[0-9])/g, "$1 ");
    const tokens = [];
    let place = 0;
    while (place < text.length) {
      TOKEN.lastIndex = place;
      const match = TOKEN.exec(text);
      if (!match) this.notUnderstood(trim(text.slice(place)));
      const [kind, word] = Object.entries(match.groups).find(([, found]) => found !== undefined);
      tokens.push({ kind, word, tight: match[1] === "" });
      place = TOKEN.lastIndex;
    }
    if (!tokens.length) throw new NotALength(`No length was typed; ${this.hint}`);
    return tokens;
  }

  notUnderstood(rest) {
    if (this.text.includes(",")) {
      throw new NotALength(
        `${this.shown} has a comma; write a point for decimals and nothing between thousands.`,
      );
    }
    throw new NotALength(
      `“${begin(rest, 12)}” was not understood in ${this.shown}; ${this.hint}`,
    );
  }

  refuse() {
    throw new NotALength(
      `“${this.next().word}” was not expected in ${this.shown}; ${this.hint}`,
    );
  }

  next(ahead = 0) {
    return this.tokens[this.at + ahead] ?? END;
  }

  take() {
    this.at += 1;
    return this.tokens[this.at - 1].word;
  }

  ticks() {
    if (this.next().kind === "dash") {
      throw new NotALength(`${this.shown} begins with a minus; a length is written without.`);
    }
    let total = this.term();
    while (this.next().kind === "plus") {
      this.take();
      total = plus(total, this.term());
    }
    if (this.at < this.tokens.length) this.refuse();
    if (exceeds(total, LARGEST)) {
      throw new NotALength(`${this.shown} is longer than ten kilometres; check the unit.`);
    }
    return Number(halfUp(total));
  }

  part() {
    const word = this.take();
    if (GLYPHS[word]) return fraction(...GLYPHS[word]);
    const [top, bottom] = word.replace(SLASH, "/").split("/");
    if (Number(bottom) === 0) {
      throw new NotALength(`“${word}” divides by zero; check the fraction.`);
    }
    return fraction(top, bottom);
  }

  isPart(token) {
    return token.kind === "frac" || token.kind === "glyph";
  }

  value() {
    if (this.isPart(this.next())) return this.part();
    if (this.next().kind !== "num") this.refuse();
    const word = this.take();
    const value = decimal(word);
    if (word.includes(".")) return value;
    if (this.next().kind === "dash" && this.next().tight) {
      if (!(this.isPart(this.next(1)) && this.next(1).tight)) return value;
      this.take();
    }
    return this.isPart(this.next()) ? plus(value, this.part()) : value;
  }

  term() {
    const first = this.next();
    const start = this.at;
    const value = this.value();
    const whole = first.kind === "num" && this.at === start + 1 && !first.word.includes(".");
    const unit = this.next();
    if (unit.kind === "metric") return times(value, METRIC[this.take().toLowerCase()]);
    if (unit.kind === "inch") {
      this.take();
      return times(value, INCH);
    }
    if (unit.kind === "foot") {
      this.take();
      return plus(times(value, FOOT), this.inchesAfterFeet(whole));
    }
    if (this.imperial && unit.kind === "num" && whole) {
      return plus(times(value, FOOT), this.inchesAfterBareFeet());
    }
    return this.bare(value);
  }

  bare(value) {
    if (this.imperial) return times(value, INCH);
    if (this.isPart(this.tokens[this.at - 1])) {
      throw new NotALength(
        `${this.shown} has a fraction without a unit; ` +
          "write 75.5 for millimetres or add ″ for inches.",
      );
    }
    return times(value, MM);
  }

  inchesAfterFeet(whole) {
    const isNumber = (token) => token.kind === "num" || this.isPart(token);
    if (this.next().kind === "dash" && isNumber(this.next(1))) this.take();
    if (!isNumber(this.next())) return fraction(0);
    if (!whole) this.refuse();
    const inches = this.inches();
    if (atLeast(inches, 12 * INCH)) {
      throw new NotALength(
        `${this.shown} has twelve inches or more after its feet; ` +
          "read it again, or write the whole in inches.",
      );
    }
    return inches;
  }

  inchesAfterBareFeet() {
    const inches = this.inches();
    if (atLeast(inches, 12 * INCH)) {
      throw new NotALength(
        `${this.shown} would be feet and twelve inches or more; ` +
          "write a fraction as 1/2, or mark the feet with '.",
      );
    }
    return inches;
  }

  inches() {
    const value = this.value();
    if (this.next().kind === "inch") this.take();
    else if (["metric", "foot"].includes(this.next().kind)) this.refuse();
    return times(value, INCH);
  }
}

// Return the ticks of a typed length; throw NotALength with a sentence.
export function parseLength(text, system) {
  return new Reader(text, system === "imperial").ticks();
}

// ---- printing --------------------------------------------------------------------

// Return [feet, inches, numerator, denominator], to the nearest 1/denominator in.
export function splitInches(ticks, denominator = 16) {
  const step = INCH / denominator;
  const steps = Math.floor((2 * Math.abs(ticks) + step) / (2 * step));
  const rest = steps % denominator;
  const all = (steps - rest) / denominator;
  const common = greatestCommon(rest, denominator);
  return [(all - (all % 12)) / 12, all % 12, rest / common, denominator / common];
}

function decimalText(ticks, unit, places) {
  const scale = 10 ** places;
  const units = halfUp(fraction(big(ticks) * big(scale), unit));
  const size = units < 0n ? -units : units;
  const rest = String(size % big(scale)).padStart(places, "0").replace(/0+$/, "");
  return `${units < 0n ? "-" : ""}${size / big(scale)}${rest ? `.${rest}` : ""}`;
}

function feetAndInches(ticks) {
  const sign = ticks < 0 ? "-" : "";
  const [feet, inches, top, bottom] = splitInches(ticks, 64);
  const part = top ? `${top}/${bottom}` : "";
  if (!feet) return `${sign}${inches && part ? `${inches} ${part}` : part || inches}″`;
  return `${sign}${feet}′${NBSP}${part ? `${inches} ${part}` : inches}″`;
}

// Return a text that parseLength reads back to the same ticks, in either system.
export function exactText(ticks, system) {
  if (system === "imperial" && ticks % (INCH / 64) === 0) return feetAndInches(ticks);
  const sign = ticks < 0 ? "-" : "";
  const size = Math.abs(ticks);
  const rest = size % MM;
  const whole = (size - rest) / MM;
  if (!rest) return `${sign}${whole} mm`;
  const common = greatestCommon(rest, MM);
  const [top, bottom] = [rest / common, MM / common];
  if (10000 % bottom === 0) return `${decimalText(ticks, MM, 4)} mm`;
  return whole ? `${sign}${whole} ${top}/${bottom} mm` : `${sign}${top}/${bottom} mm`;
}

const READY = {
  "1/2": "½", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞",
};

// Return a length as lettered in a drawing ("svg") or on a page ("html").
export function lengthWords(ticks, { system, setting, denominator = 16, unit = true }) {
  if (system === "metric") {
    const number = decimalText(ticks, MM, 1).replace("-", MINUS);
    return unit ? `${number}${NBSP}mm` : number;
  }
  const [feet, inches, top, bottom] = splitInches(ticks, denominator);
  const tag = setting === "html" ? "span" : "tspan";
  const part = !top
    ? ""
    : READY[`${top}/${bottom}`] ?? `<${tag} class="fr">${top}${SLASH}${bottom}</${tag}>`;
  const whole = inches || feet || !part ? String(inches) : "";
  const sign = ticks < 0 && (feet || inches || top) ? MINUS : "";
  return `${sign}${feet ? `${feet}′${NBSP}` : ""}${whole}${part}″`;
}

// Return a length as plain text, for a field or to be read aloud.
export function lengthText(ticks, system, denominator = 16) {
  if (system === "metric") return `${decimalText(ticks, MM, 1)}${NBSP}mm`;
  const step = INCH / denominator;
  const size = Math.floor((2 * Math.abs(ticks) + step) / (2 * step)) * step;
  return feetAndInches(ticks < 0 ? -size : size);
}
