// Where everything on the bench stands. The form, the blade line and the keys
// share one scale across, so that a zone is one column from top to bottom.

const NARROWEST = 11; // of a column that still holds a figure, turned upright

export function plan(width, result, all) {
  const zones = result.zones;
  const left = width >= 560 ? 72 : 4;
  const right = width >= 560 ? 12 : 4;
  const across = Math.max(width - left - right, zones.length * NARROWEST);
  const scale = across / result.fountain_mm;
  const column = across / zones.length;
  const upright = column < 26;
  return {
    width: across + left + right, left, right: left + across, scale, column, upright, all,
    roomy: width >= 560,
    x: (mm) => left + mm * scale,
    flag: all ? 32 : 18,
    form: all ? Math.min(across * 0.26, 190) : Math.min(across * 0.32, 220),
    gap: all ? 40 : 92,
    keyRow: upright ? 34 : 30,
  };
}

// edges of a zone's column in px.
export const edges = (p, zone) => [p.x(zone.left_mm), p.x(zone.right_mm)];

// byPlace is the zones' numbers from left to right: on some presses zone 1 is
// at the right.
export const byPlace = (zones) => [...zones].sort((a, b) => a.left_mm - b.left_mm).map((z) => z.zone);

export const held = {
  set: { sign: "", word: "" },
  floor: { sign: "▁", word: "floor" },
  ceiling: { sign: "▔", word: "ceiling" },
  neighbour: { sign: "↔", word: "neighbour" },
  "off-sheet": { sign: "–", word: "off-sheet" },
  "too much": { sign: "▲", word: "too much" },
  "too little": { sign: "▼", word: "too little" },
  right: { sign: "=", word: "right" },
  "no print": { sign: "–", word: "no print" },
};
