// Where words find room: apart from each other and from curves.

const LINE = 15;

function overlap(one, other) {
  return one.left < other.left + other.wide && other.left < one.left + one.wide && one.base - 11 < other.base + 3 && other.base - 11 < one.base + 3;
}

// Labels of curves right of the time shown: they stand apart even where curves meet, and stay on the paper.
function placedLabels(chart, labels, now) {
  const placed = labels.map((label) => ({ ...label, left: now + 10, base: label.at + 4, wide: widthOf(`${label.words} ${label.told}`, 13, 600) }));
  placed.sort((a, b) => a.base - b.base);
  for (let k = 1; k < placed.length; k++) placed[k].base = Math.max(placed[k].base, placed[k - 1].base + LINE);
  let lowest = chart.foot - 2;
  for (let k = placed.length - 1; k >= 0; k--) {
    placed[k].base = Math.min(placed[k].base, lowest);
    lowest = placed[k].base - LINE;
  }
  // What had to move makes room for the line that leads to it.
  for (const label of placed) if (Math.abs(label.base - 4 - label.at) > 9) label.left += 8;
  return placed;
}

// Names of lines, each at the first place from the right where neither a curve nor another name is; where there is none it is left out.
function namesOf(chart, lines) {
  const { left, width, right, curves, y, top, foot } = chart;
  const placed = [];
  const isFree = (box) => !placed.some((other) => overlap(box, other)) && !curves.some((curve) => curve.columns.some((column) => column.x > box.left - 3 && column.x < box.left + box.wide + 3 && y(column.lowest) > box.base - 14 && y(column.highest) < box.base + 5));
  for (const line of lines) {
    const wide = widthOf(line.told, 12);
    // Beside its line, else a little away from it.
    const sides = [line.first, line.first < 0 ? 14 : -4, -20, 30].map((drop) => line.at + drop).filter((base) => base - 10 > top - 8 && base < foot - 1);
    const places = sides.flatMap((base) => {
      const row = [];
      for (let at = width - right - 6 - wide; at >= left + 4; at -= 8) row.push({ left: at, base, wide, told: line.told });
      return row;
    });
    const free = places.find(isFree);
    if (free !== undefined) placed.push(free);
  }
  return placed;
}

// Words shortened to a width, px.
function fitted(words, size, room, weight = 400) {
  if (widthOf(words, size, weight) <= room) return words;
  let end = words.length;
  while (end > 1 && widthOf(`${words.slice(0, end)}…`, size, weight) > room) end--;
  return `${words.slice(0, end).trimEnd()}…`;
}
