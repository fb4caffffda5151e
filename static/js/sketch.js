// From the fields of a surface to its outline, for the sketch that follows the typing
// before the server has answered, or where there is no signal at all.
//
// It draws shapes whose corners need no trigonometry; what it cannot draw it leaves to
// the server. It measures and draws; it never prices.

import { drawSurface } from "./drawing.js";
import { NotALength, parseLength } from "./lengths.js";

const WORDS = { l: ["width", "height", "cut_width", "cut_height"] };
WORDS.rectangle = ["width", "height"];
WORDS.u = [...WORDS.l, "cut_left"];

const box = (left, bottom, width, height) => [
  [left, bottom], [left + width, bottom],
  [left + width, bottom + height], [left, bottom + height],
];

const OUTLINES = {
  rectangle: ({ width, height }) => box(0, 0, width, height),
  l: ({ width: w, height: h, cut_width: x, cut_height: y }, corner) =>
    x < w && y < h
      ? {
          lower_left: [[x, 0], [w, 0], [w, h], [0, h], [0, y], [x, y]],
          lower_right: [[0, 0], [w - x, 0], [w - x, y], [w, y], [w, h], [0, h]],
          upper_right: [[0, 0], [w, 0], [w, h - y], [w - x, h - y], [w - x, h], [0, h]],
          upper_left: [[0, 0], [w, 0], [w, h], [x, h], [x, h - y], [0, h - y]],
        }[corner || "upper_right"]
      : null,
  u: ({ width: w, height: h, cut_left: l, cut_width: x, cut_height: y }) =>
    l > 0 && l + x < w && y < h
      ? [[0, 0], [w, 0], [w, h], [l + x, h], [l + x, h - y], [l, h - y], [l, h], [0, h]]
      : null,
};

// Walk sides of square corners; null where an angle is given that is not 90 or 270.
function walked(text, read) {
  const ways = [[1, 0], [0, 1], [-1, 0], [0, -1]];
  const lines = text.split("\n").filter((line) => line.trim());
  const corners = [];
  let [x, y, way] = [0, 0, 0];
  for (const line of lines) {
    const [side, angle = "90"] = line.split(";");
    corners.push([x, y]);
    const long = read(side);
    [x, y] = [x + ways[way][0] * long, y + ways[way][1] * long];
    if (!["90", "270"].includes(angle.trim())) return null;
    way = (way + (angle.trim() === "90" ? 1 : 3)) % 4;
  }
  return corners.length >= 4 ? corners : null;
}

function pointed(text, read) {
  const lines = text.split("\n").filter((line) => line.trim());
  return lines.map((line) => {
    const [across, up] = line.split(";");
    return [read(across ?? ""), read(up ?? "")];
  });
}

function outlineOf(value, read) {
  const shape = value("shape");
  if (shape === "run") return walked(value("run"), read);
  if (shape === "polygon") return pointed(value("points"), read);
  if (!OUTLINES[shape]) return null;
  const sizes = Object.fromEntries(WORDS[shape].map((name) => [name, read(value(name))]));
  return OUTLINES[shape](sizes, value("cut_corner"));
}

function openings(value, read, outline) {
  const left = Math.min(...outline.map(([x]) => x));
  const bottom = Math.min(...outline.map(([, y]) => y));
  const found = [];
  for (let place = 0; value(`opening_${place}_kind`) !== undefined; place += 1) {
    const start = `opening_${place}_`;
    if (!value(`${start}kind`)) continue;
    const [x, y, w, h] = ["left", "bottom", "width", "height"].map((name) =>
      read(value(`${start}${name}`)));
    found.push({ outline: box(left + x, bottom + y, w, h), word: "" });
  }
  return found;
}

// Return what drawSurface needs from named fields; null while it cannot be drawn.
// `value(name)` gives a field's text, undefined where there is no such field.
export function surfaceFrom(value, system) {
  const read = (text) => parseLength(text, system);
  try {
    const outline = outlineOf(value, read);
    if (!outline) return null;
    return {
      name: "typed",
      sentence: value("name") || "",
      outline,
      edges: outline.map((_, index) => value(`edge_${index}`) || "wall"),
      holes: openings(value, read, outline),
      squared: true,
    };
  } catch (error) {
    if (error instanceof NotALength) return null;
    throw error;
  }
}

// Return the sketch as an SVG element, null while it cannot be drawn.
// `now` is the side being measured, counted from nought.
export function sketch(value, { system, now, width = 358, height = 420 }) {
  const surface = surfaceFrom(value, system);
  const svg = surface && drawSurface({ ...surface, now }, { system, width, height });
  if (!svg) return null;
  return new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
}
