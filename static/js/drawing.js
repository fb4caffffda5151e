// The live sketch: a surface drawn to scale and dimensioned while it is typed.
//
// The same geometry as the server's drawing of a surface, in whole hundredths of a
// pixel, so that nothing moves when the page comes back saved. Equal input gives equal
// text on both sides; tests/vectors/sketches.json holds them together.

import { INCH, MM, lengthWords } from "./lengths.js";

const PX = 100;
const UNIT = 10000;
const STYLE = { letter: 1300, gap: 400, over: 500, tick: 350, above: 400, level: 2400 };
const FOOT_ROOM = 2600;
const CORNER = 8400;
const SIDES = ["bottom", "right", "top", "left"];

// ---- whole-number geometry ---------------------------------------------------------

const over = (top, bottom) => Math.floor(top / bottom);
const part = (value, top, bottom) => over(2 * value * top + bottom, 2 * bottom);

function root(square) {
  let guess = Math.floor(Math.sqrt(square));
  while (guess * guess > square) guess -= 1;
  while ((guess + 1) * (guess + 1) <= square) guess += 1;
  return guess;
}

function rootOfBig(square) {
  if (square < 2n) return square;
  let guess = BigInt(Math.floor(Math.sqrt(Number(square)))) + 1n;
  for (;;) {
    const better = (guess + square / guess) / 2n;
    if (better >= guess) break;
    guess = better;
  }
  return guess;
}

function number(value) {
  const sign = value < 0 ? "-" : "";
  const rest = Math.abs(value) % PX;
  const whole = (Math.abs(value) - rest) / PX;
  const tail = rest ? `.${String(rest).padStart(2, "0").replace(/0$/, "")}` : "";
  return `${sign}${whole || !tail ? whole : ""}${tail}`;
}

function unitNumber(value) {
  const sign = value < 0 ? "-" : "";
  const rest = Math.abs(value) % UNIT;
  const whole = (Math.abs(value) - rest) / UNIT;
  const tail = rest ? `.${String(rest).padStart(4, "0").replace(/0+$/, "")}` : "";
  return `${sign}${whole || !tail ? whole : ""}${tail}`;
}

const far = (a, b) => root((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2);
const middle = (a, b) => [over(a[0] + b[0], 2), over(a[1] + b[1], 2)];
const along = (at, way, long) => [
  at[0] + part(long, way[0], UNIT),
  at[1] + part(long, way[1], UNIT),
];
const same = (a, b) => a[0] === b[0] && a[1] === b[1];
const back = (way) => [-way[0] || 0, -way[1] || 0];
const least = (values) => Math.min(...values);
const most = (values) => Math.max(...values);

function direction(a, b) {
  const [across, down] = [b[0] - a[0], b[1] - a[1]];
  const long = root(across * across + down * down);
  return long ? [part(across, UNIT, long), part(down, UNIT, long)] : [UNIT, 0];
}

function outward(start, end) {
  const [across, up] = [end[0] - start[0], end[1] - start[1]];
  if (Math.abs(up) * 4 <= Math.abs(across)) return across > 0 ? "bottom" : "top";
  if (Math.abs(across) * 4 <= Math.abs(up)) return up > 0 ? "right" : "left";
  return "";
}

function doubledArea(outline) {
  return outline.reduce((sum, [x, y], index) => {
    const [nextX, nextY] = outline[(index + 1) % outline.length];
    return sum + BigInt(x) * BigInt(nextY) - BigInt(nextX) * BigInt(y);
  }, 0n);
}

// ---- the sheet -----------------------------------------------------------------------

const escape = (text) =>
  text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;").replace(/'/g, "&#x27;");
const seen = (markup) => [...markup.replace(/<[^>]*>/g, "")].length;
const widthOf = (markup, letter) => over(seen(markup) * letter * 47, 100);

class Sheet {
  constructor(size, sentence) {
    this.size = size;
    this.sentence = sentence;
    this.parts = [];
  }

  add(markup) {
    this.parts.push(markup);
  }

  polygon(ring, kind) {
    const points = ring.map(([x, y]) => `${number(x)},${number(y)}`).join(" ");
    this.add(`<polygon class="${kind}" points="${points}"/>`);
  }

  path(runs, kind) {
    if (!runs.length) return;
    const data = runs
      .map((run) => `M${run.map(([x, y]) => `${number(x)} ${number(y)}`).join("L")}`)
      .join("");
    this.add(`<path class="${kind}" d="${data}"/>`);
  }

  line(start, end, kind) {
    this.path([[start, end]], kind);
  }

  text(at, lettered, { kind = "", anchor = "middle", way = [UNIT, 0] } = {}) {
    const mark = kind ? ` class="${kind}"` : "";
    let place = `x="${number(at[0])}" y="${number(at[1])}"`;
    if (!(Math.abs(way[1]) < 60 && way[0] > 0)) {
      const turn = [way[0], way[1], -way[1], way[0]].map(unitNumber).join(" ");
      place = `transform="matrix(${turn} ${number(at[0])} ${number(at[1])})"`;
    }
    this.add(`<text${mark} ${place} text-anchor="${anchor}">${lettered}</text>`);
  }

  svg() {
    const [width, height] = this.size.map(number);
    return (
      `<svg class="dwg" xmlns="http://www.w3.org/2000/svg" ` +
      `viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" ` +
      `role="img" aria-label="${escape(this.sentence)}">${this.parts.join("")}</svg>`
    );
  }
}

class Scale {
  constructor(top, bottom, origin) {
    Object.assign(this, { top, bottom, origin });
  }

  px(ticks) {
    return part(ticks, this.top, this.bottom);
  }

  at([x, y]) {
    return [this.origin[0] + this.px(x), this.origin[1] - this.px(y)];
  }

  ring(points) {
    return points.map((point) => this.at(point));
  }
}

// ---- dimensions ------------------------------------------------------------------------

function beside(start, end, off) {
  const way = direction(start, end);
  const out = [way[1], -way[0] || 0];
  return { start, end, first: along(start, out, off), last: along(end, out, off) };
}

function onLevel(start, end, side, level) {
  const flat = side === "bottom" || side === "top";
  const put = (at) => (flat ? [at[0], level] : [level, at[1]]);
  return { start, end, first: put(start), last: put(end) };
}

function readingWay(way) {
  const steep = Math.abs(way[0]) * 4 < Math.abs(way[1]);
  return (steep ? way[1] > 0 : way[0] < 0) ? back(way) : way;
}

const isTight = (span, lettered) =>
  far(span.first, span.last) < widthOf(lettered, STYLE.letter) + 800;

function drawDimension(sheet, span, lettered, kind = "", shift = 0, slide = 0) {
  sheet.add(`<g class="${kind ? `dim ${kind}` : "dim"}">`);
  for (const [point, end] of [[span.start, span.first], [span.end, span.last]]) {
    if (far(point, end) > STYLE.gap + 200) {
      const out = direction(point, end);
      sheet.line(along(point, out, STYLE.gap), along(end, out, STYLE.over), "dl");
    }
  }
  const plain = direction(span.first, span.last);
  const way = readingWay(plain);
  const [first, last] = same(way, plain) ? [span.first, span.last] : [span.last, span.first];
  sheet.line(along(first, way, -STYLE.over), along(last, way, STYLE.over), "dl");
  const up = [way[1], -way[0] || 0];
  for (const at of [first, last]) {
    sheet.line(
      along(along(at, way, -STYLE.tick), up, -STYLE.tick),
      along(along(at, way, STYLE.tick), up, STYLE.tick),
      "dt",
    );
  }
  let high = STYLE.above + shift;
  if (shift === 0 && isTight(span, lettered)) high += STYLE.tick + 100;
  const at = middle(first, last);
  sheet.text(along(along(at, way, slide), up, high), lettered, { way });
  const reach = slide - over(widthOf(lettered, STYLE.letter), 2);
  if (slide && reach > 0) {
    const foot = along(along(at, way, reach), up, high + over(STYLE.letter, 3));
    sheet.line(at, foot, "dl");
  }
  sheet.add("</g>");
}

function placeAlong(span) {
  const mid = middle(span.first, span.last);
  const upright =
    Math.abs(span.last[0] - span.first[0]) < Math.abs(span.last[1] - span.first[1]);
  return upright ? -mid[1] : mid[0];
}

function drawChain(sheet, spans, side) {
  const away = side === "top" || side === "left"
    ? STYLE.letter : -(STYLE.letter + STYLE.above);
  const reached = new Map([[0, null], [away, null]]);
  for (const [span, lettered, kind] of spans) {
    const half = over(widthOf(lettered, STYLE.letter), 2) + 150;
    const at = placeAlong(span);
    const free = (shift) => reached.get(shift) === null || at - half >= reached.get(shift);
    const crowded = isTight(span, lettered) || !free(0);
    const shift = crowded && (free(away) || !free(0)) ? away : 0;
    const end = reached.get(shift);
    const slide = end === null ? 0 : Math.max(0, end - (at - half));
    drawDimension(sheet, span, lettered, kind, shift, slide);
    reached.set(shift, at + half + slide);
  }
}

// ---- which sizes stand where -------------------------------------------------------------

const axisOf = (side) => (side === "bottom" || side === "top" ? 0 : 1);
const extent = (outline, axis) => {
  const values = outline.map((point) => point[axis]);
  return [least(values), most(values)];
};
const ascending = (a, b) => a - b;

function between(start, end) {
  const [across, up] = [BigInt(end[0] - start[0]), BigInt(end[1] - start[1])];
  return Number(rootOfBig(across * across + up * up));
}

const lettered = (ticks, frame) =>
  lengthWords(ticks, { system: frame.system, setting: "svg", unit: false });

function isHidden(outline, index, side) {
  if (!side) return false;
  const axis = axisOf(side);
  const outwards = side === "bottom" || side === "left" ? -1 : 1;
  const [start, end] = [outline[index], outline[(index + 1) % outline.length]];
  const [low, high] = [start[axis], end[axis]].sort(ascending);
  const own = most([start[1 - axis] * outwards, end[1 - axis] * outwards]);
  return outline.some((first, at) => {
    const second = outline[(at + 1) % outline.length];
    if (at === index || outward(first, second) !== side) return false;
    const [near, beyond] = [first[axis], second[axis]].sort(ascending);
    const further = least([first[1 - axis] * outwards, second[1 - axis] * outwards]) > own;
    return further && near < high && beyond > low;
  });
}

function sidesOf(surface, frame) {
  const sides = { bottom: [], right: [], top: [], left: [], "": [] };
  surface.outline.forEach((start, index) => {
    const end = surface.outline[(index + 1) % surface.outline.length];
    const given = surface.measured?.[index] || between(start, end);
    const side = outward(start, end);
    sides[isHidden(surface.outline, index, side) ? "" : side].push({
      start,
      end,
      lettered: lettered(given, frame),
      kind: index === surface.now ? "now" : "",
    });
  });
  return sides;
}

function holeRows(surface, frame, axis) {
  if (!surface.holes?.length) return [];
  const [low, high] = extent(surface.outline, axis);
  const marks = surface.holes.flatMap((hole) => hole.outline.map((point) => point[axis]));
  const places = [...new Set([low, high, ...marks.filter((at) => low < at && at < high)])]
    .sort(ascending);
  const level = extent(surface.outline, 1 - axis)[axis];
  return [
    places.slice(1).map((second, index) => {
      const first = places[index];
      return {
        start: axis === 0 ? [first, level] : [level, first],
        end: axis === 0 ? [second, level] : [level, second],
        lettered: lettered(second - first, frame),
        kind: "",
      };
    }),
  ];
}

function packed(measures, axis) {
  const low = (measure) => least([measure.start[axis], measure.end[axis]]);
  const high = (measure) => most([measure.start[axis], measure.end[axis]]);
  const rows = [];
  for (const measure of [...measures].sort((a, b) => low(a) - low(b))) {
    const row = rows.find((other) => high(other.at(-1)) <= low(measure));
    if (row) row.push(measure);
    else rows.push([measure]);
  }
  return rows;
}

const isRectangle = (outline) =>
  outline.length === 4 &&
  outline.every((start, index) => {
    const end = outline[(index + 1) % 4];
    return start[0] === end[0] || start[1] === end[1];
  });

function overall(surface, frame, side) {
  const axis = axisOf(side);
  const [low, high] = extent(surface.outline, axis);
  const [level] = extent(surface.outline, 1 - axis);
  return {
    start: axis === 0 ? [low, level] : [level, low],
    end: axis === 0 ? [high, level] : [level, high],
    lettered: lettered(high - low, frame),
    kind: "",
  };
}

function dimensionRows(surface, frame) {
  const sides = sidesOf(surface, frame);
  const rows = {
    bottom: holeRows(surface, frame, 0),
    right: holeRows(surface, frame, 1),
    top: [],
    left: [],
    "": sides[""].length ? [sides[""]] : [],
  };
  const plain =
    isRectangle(surface.outline) && [null, undefined, 0, 3].includes(surface.now);
  for (const [side, across] of [["bottom", "top"], ["left", "right"]]) {
    const axis = axisOf(side);
    rows[side].push(...packed(sides[side], axis));
    const words = (list) => JSON.stringify(list.map((measure) => measure.lettered));
    if (!(plain && words(sides[side]) === words(sides[across]))) {
      rows[across].push(...packed(sides[across], axis));
    }
    const [low, high] = extent(surface.outline, axis);
    const said = [...sides[side], ...sides[across]].some(
      (measure) => Math.abs(measure.end[axis] - measure.start[axis]) === high - low,
    );
    if (!said) rows[side].push([overall(surface, frame, side)]);
  }
  return rows;
}

// ---- fitting the frame -----------------------------------------------------------------

function fit(outline, rows, frame, corner) {
  const plain = Object.fromEntries(SIDES.map((side) => [side, rows[side].map(() => false)]));
  const first = laid(outline, rows, frame, plain, corner);
  const crowded = Object.fromEntries(
    SIDES.map((side) => [side, rows[side].map((row) => isCrowded(row, first.scale))]),
  );
  return laid(outline, rows, frame, crowded, corner);
}

function isCrowded(row, scale) {
  if (row.length < 2) return false;
  return row.some(
    (measure) =>
      far(scale.at(measure.start), scale.at(measure.end)) * 10 <
      (widthOf(measure.lettered, STYLE.letter) + 800) * 11,
  );
}

function laid(outline, rows, frame, crowded, corner) {
  const [margin, offsets] = margins(rows, crowded);
  const [[lowX, highX], [lowY, highY]] = [extent(outline, 0), extent(outline, 1)];
  const [wide, high] = [highX - lowX, highY - lowY];
  if (corner && high >= wide) margin.right += CORNER;
  else if (corner) margin.top = most([margin.top, CORNER + 600]);
  const roomX = most([frame.width * 100 - margin.left - margin.right, 4000]);
  const roomY = most([frame.height * 100 - margin.top - margin.bottom - FOOT_ROOM, 4000]);
  const [top, bottom] = roomX * high <= roomY * wide ? [roomX, wide] : [roomY, high];
  let width = margin.left + part(wide, top, bottom) + margin.right;
  const left = margin.left + over(most([frame.width * 100 - width, 0]), 2);
  width = most([frame.width * 100, width]);
  const origin = [left - part(lowX, top, bottom), margin.top + part(highY, top, bottom)];
  const height = margin.top + part(high, top, bottom) + margin.bottom + FOOT_ROOM;
  return { scale: new Scale(top, bottom, origin), size: [width, height], offsets };
}

function margins(rows, crowded) {
  const slant = rows[""].length ? 2 * STYLE.level : 0;
  const [margin, offsets] = [{}, {}];
  for (const side of SIDES) {
    let reach = 0;
    offsets[side] = [];
    for (const full of crowded[side]) {
      reach += STYLE.level;
      offsets[side].push(reach);
      if (full) reach += STYLE.letter + 400;
    }
    const outside = (side === "top" || side === "left") && rows[side].length;
    margin[side] = most([1200 + reach + (outside ? STYLE.letter : 0), slant]);
  }
  return [margin, offsets];
}

function drawRows(sheet, { scale, offsets }, outline, rows) {
  const draw = (measure, off) => {
    const span = beside(scale.at(measure.end), scale.at(measure.start), off);
    drawDimension(sheet, span, measure.lettered, measure.kind);
  };
  for (const side of SIDES) {
    rows[side].forEach((row, index) => {
      const off = offsets[side][index];
      if (row.length === 1 && isAtTheEdge(row[0], outline, side)) draw(row[0], off);
      else drawLevel(sheet, scale, outline, side, row, off);
    });
  }
  for (const measure of rows[""].flat()) draw(measure, STYLE.level);
}

function isAtTheEdge(measure, outline, side) {
  if (outward(measure.start, measure.end) !== side) return false;
  const axis = 1 - axisOf(side);
  const [low, high] = extent(outline, axis);
  const ends = [measure.start[axis], measure.end[axis]];
  return side === "bottom" || side === "left" ? least(ends) === low : most(ends) === high;
}

function drawLevel(sheet, scale, outline, side, row, off) {
  const ring = scale.ring(outline);
  const level = {
    bottom: most(ring.map((at) => at[1])) + off,
    right: most(ring.map((at) => at[0])) + off,
    top: least(ring.map((at) => at[1])) - off,
    left: least(ring.map((at) => at[0])) - off,
  }[side];
  const axis = axisOf(side);
  const spans = row.map((measure) => {
    const [first, last] = [measure.start, measure.end].sort((a, b) => a[axis] - b[axis]);
    const span = onLevel(scale.at(first), scale.at(last), side, level);
    return [span, measure.lettered, measure.kind];
  });
  drawChain(sheet, spans, side);
}

// ---- the parts of the drawing --------------------------------------------------------------

const inner = (start, end) => {
  const way = direction(start, end);
  return [way[1], -way[0] || 0];
};

function drawEdges(sheet, ring, kinds = []) {
  ring.forEach((start, index) => {
    const end = ring[(index + 1) % ring.length];
    const kind = kinds[index] ?? "wall";
    if (kind === "fold") {
      sheet.line(start, end, "fold");
      return;
    }
    sheet.line(start, end, "o");
    if (kind === "exposed") sheet.line(start, end, "exp");
    if (kind === "threshold") {
      const into = inner(start, end);
      sheet.line(along(start, into, 400), along(end, into, 400), "e");
    }
  });
}

function drawLetters(sheet, ring, surface) {
  (surface.letters ?? []).forEach((letter, index) => {
    if (!letter || index >= ring.length) return;
    const [start, end] = [ring[index], ring[(index + 1) % ring.length]];
    const at = along(middle(start, end), inner(start, end), 1200);
    sheet.text([at[0], at[1] + 400], escape(letter), { kind: "t2" });
  });
  for (const diagonal of surface.diagonals ?? []) {
    if (!diagonal.letter) continue;
    const [start, end] = [ring[diagonal.start], ring[diagonal.end]];
    const at = middle(middle(start, end), end);
    sheet.text([at[0] - 800, at[1]], escape(diagonal.letter), { kind: "key" });
  }
}

function drawSquares(sheet, scale, system) {
  let side = most([scale.px(system === "metric" ? 200 * MM : 6 * INCH), 1]);
  while (side < 1200) side *= 2;
  const rest = (value) => ((value % side) + side) % side;
  const runs = [];
  for (let x = rest(scale.origin[0]); x < sheet.size[0]; x += side) {
    runs.push([[x, 0], [x, sheet.size[1]]]);
  }
  for (let y = rest(scale.origin[1]); y < sheet.size[1]; y += side) {
    runs.push([[0, y], [sheet.size[0], y]]);
  }
  sheet.path(runs, "grid");
}

const BARS = {
  metric: [100, 200, 500, 1000, 2000, 5000, 10000, 20000].map((mm) => [
    mm * MM, 10, mm < 1000 ? `${mm} mm` : `${mm / 1000} m`,
  ]),
  imperial: [6, 12, 24, 48, 96, 192, 384, 768].map((inches) => [
    inches * INCH,
    { 6: 6, 12: 4 }[inches] ?? 8,
    inches < 12 ? `${inches}″` : `${inches / 12}′`,
  ]),
};

function drawScaleBar(sheet, scale, foot, system) {
  const bars = BARS[system === "metric" ? "metric" : "imperial"];
  const fitting = bars.filter(([ticks]) => scale.px(ticks) <= 9600);
  const [ticks, steps, word] = fitting.at(-1) ?? bars[0];
  const wide = scale.px(ticks);
  const left = foot[0] - wide;
  sheet.line([left, foot[1]], foot, "e");
  const marks = [];
  for (let step = 0; step <= steps; step += 1) {
    const x = left + part(wide, step, steps);
    const high = step === 0 || step === steps ? 900 : 2 * step === steps ? 600 : 350;
    marks.push([[x, foot[1]], [x, foot[1] - high]]);
  }
  sheet.path(marks, "f");
  sheet.text([left, foot[1] + 1100], "0", { kind: "t2" });
  const at = [foot[0] + (word.length > 3 ? 800 : 0), foot[1] + 1100];
  sheet.text(at, word, { kind: "t2", anchor: word.length > 3 ? "end" : "middle" });
}

function drawKeyPlan(sheet, plan, corner, box) {
  const [[lowX, highX], [lowY, highY]] = [extent(plan.outline, 0), extent(plan.outline, 1)];
  const widest = most([highX - lowX, highY - lowY, 1]);
  const origin = [corner[0] - part(lowX, box, widest), corner[1] + part(highY, box, widest)];
  const ring = new Scale(box, widest, origin).ring(plan.outline);
  const sum = (axis) => ring.reduce((total, at) => total + at[axis], 0);
  const inside = [over(sum(0), ring.length), over(sum(1), ring.length)];
  ring.forEach((start, index) => {
    const end = ring[(index + 1) % ring.length];
    const heavy = index === plan.heavy;
    const kind = heavy ? "o" : (plan.open_sides ?? []).includes(index) ? "hid" : "e";
    sheet.line(start, end, kind);
    const letter = plan.letters?.[index];
    if (!letter) return;
    const at = along(middle(start, end), direction(inside, middle(start, end)), 900);
    sheet.text([at[0], at[1] + 400], escape(letter), { kind: heavy ? "tl" : "t2" });
  });
}

// Return a surface drawn to scale with its sizes, as SVG text; null when it has no area.
// Sizes are ticks, x to the right and y up, the outline anticlockwise.
export function drawSurface(surface, frame) {
  if (surface.outline.length < 3 || doubledArea(surface.outline) <= 0n) return null;
  const rows = dimensionRows(surface, frame);
  const layout = fit(surface.outline, rows, frame, Boolean(surface.plan));
  const { scale, size } = layout;
  const sheet = new Sheet(size, surface.sentence);
  if (surface.squared) drawSquares(sheet, scale, frame.system);
  const ring = scale.ring(surface.outline);
  sheet.polygon(ring, "of");
  for (const diagonal of surface.diagonals ?? []) {
    sheet.line(ring[diagonal.start], ring[diagonal.end], "hid");
  }
  for (const hole of surface.holes ?? []) {
    const cut = scale.ring(hole.outline);
    sheet.polygon(cut, "ef");
    if (cut.length === 4) sheet.path([[cut[0], cut[2]], [cut[1], cut[3]]], "f");
  }
  drawEdges(sheet, ring, surface.edges);
  drawLetters(sheet, ring, surface);
  drawRows(sheet, layout, surface.outline, rows);
  drawScaleBar(sheet, scale, [size[0] - 1400, size[1] - 1400], frame.system);
  if (surface.note) {
    sheet.text([1400, size[1] - 1200], escape(surface.note), { anchor: "start" });
  }
  if (surface.plan) drawKeyPlan(sheet, surface.plan, [size[0] - 6600, 2600], 4600);
  return sheet.svg();
}
