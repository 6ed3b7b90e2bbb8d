// One drawing of tank, wires and air for each strategy. State is told by words, by lines and by hatching.

// Of a drawing, px: as broad as its place, but legible.
const NARROWEST = 236;
const BROADEST = 400;
// Where tanks begin, and what is left beside them for arrows.
const LEFT = 34;
const RIGHT = 60;
// Room above a tank for arrows and their words, and for a fan above them.
const ABOVE = 54;
const FAN = 16;
// W a pixel of an arrow's breadth.
const W_PER_PX = 14;

function drawingOf(run, at, index, place) {
  const { scene } = run;
  const width = Math.min(BROADEST, Math.max(NARROWEST, place));
  const parts = [];
  const text = (x, y, words, size = 12, of = "") => parts.push(`<text x="${x}" y="${y}" font-size="${size}" ${of}>${escaped(words)}</text>`);
  const elements = [
    ...scene.heaters.map((one) => ({ ...one, kind: "heater" })),
    ...scene.fans.map((one) => ({ ...one, kind: "fan" })),
    ...scene.chillers.map((one) => ({ ...one, kind: "chiller" })),
  ];
  parts.push(`<defs>
    <pattern id="warm${index}" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="var(--water)"/><path d="M0 8L8 0" stroke="var(--ink)" stroke-width="1"/></pattern>
    <pattern id="cold${index}" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="var(--water)"/><path d="M0 4H8" stroke="var(--ink)" stroke-width="1"/></pattern>
    <marker id="tip${index}" viewBox="0 0 10 10" refX="2" refY="5" markerWidth="14" markerHeight="14" markerUnits="userSpaceOnUse" orient="auto"><path class="tip" d="M0 0L10 5L0 10z"/></marker></defs>`);
  const windowOpen = run.acts.some((act) => act.what === "open-window" && isUnderWay(act, at));
  const air = `room ${temperatureText(courseAt(run, "room", at))}, ${(courseAt(run, "humidity", at) * 100).toFixed(0)} % humidity`;
  text(4, 13, windowOpen ? `${air}, window open` : air, 12);

  elements.forEach((element, nth) => {
    element.wireX = LEFT + 16 + (nth * (width - LEFT - 16)) / elements.length;
    element.now = elementState(run, element, element.kind, at);
  });

  // Tanks from top to bottom, those with elements last: their wires come from below.
  const holds = (tank) => (elements.some((one) => one.kind === "heater" && one.tank === tank) ? 1 : 0);
  const order = scene.tanks.map((_, tank) => tank).sort((a, b) => holds(a) - holds(b) || a - b);
  let y = 20;
  const boxes = new Map();
  for (const tank of order) {
    y += ABOVE + (scene.fans.some((fan) => fan.tank === tank) ? FAN : 0);
    const probes = scene.probes.filter((one) => one.tank === tank && one.controls).length;
    const tall = 68 + (scene.tanks[tank].livestock ? 14 : 0) + probes * 14 + holds(tank) * (elements.length > 1 ? 46 : 32);
    const wide = width - LEFT - RIGHT - (scene.tanks[tank].livestock || scene.tanks.length === 1 ? 0 : 24);
    boxes.set(tank, { x: LEFT, y, wide, tall });
    y += tall;
  }
  // Wires first: a tank stands before them.
  for (const element of elements) {
    const box = boxes.get(element.tank);
    element.from = element.kind === "fan" ? box.y - 38 : box.y + box.tall - 14;
  }
  const mains = drawWires(parts, run, at, elements, width, y + 26);

  for (const tank of order) drawTank(parts, run, at, boxes.get(tank), tank, index, elements);
  for (const flow of scene.flows) drawFlow(parts, run, at, boxes, flow, index);
  return `<svg viewBox="0 0 ${width} ${mains + 22}" role="img" aria-label="${escaped(wordsOf(run, at))}">${parts.join("")}</svg>`;
}

function drawTank(parts, run, at, box, place, index, elements) {
  const { scene } = run;
  const tank = scene.tanks[place];
  const water = courseAt(run, `water ${tank.name}`, at);
  const full = cell(run.course, `level ${tank.name}`, 0);
  const level = courseAt(run, `level ${tank.name}`, at);
  const [low, high] = scene.band_c;
  const side = !tank.livestock ? "" : water > high ? "warm" : water < low ? "cold" : "";
  const surface = box.y + 10 + (box.tall - 10) * (1 - Math.min(1.1, level / full)) * 0.9;
  const { x, y, wide, tall } = box;
  // Words stand on water, not on its hatching.
  const text = (px, py, words, size, weight = 400) => {
    const room = x + wide - px - 4;
    const told = fitted(words, size, room, weight);
    if (side !== "") parts.push(`<rect class="water" x="${px - 4}" y="${py - size}" width="${Math.min(room + 2, widthOf(told, size, weight) + 8)}" height="${size * 1.35}"/>`);
    parts.push(`<text x="${px}" y="${py}" font-size="${size}" font-weight="${weight}">${escaped(told)}</text>`);
  };
  parts.push(`<rect x="${x}" y="${y}" width="${wide}" height="${tall}" fill="var(--paper)"/>`);
  parts.push(side === "" ? `<rect class="water" x="${x}" y="${surface}" width="${wide}" height="${y + tall - surface}"/>` : `<rect x="${x}" y="${surface}" width="${wide}" height="${y + tall - surface}" fill="url(#${side}${index})"/>`);
  parts.push(`<path class="pane" d="M${x} ${y}V${y + tall}H${x + wide}V${y}"/>`);
  if (tank.cover === "lid") parts.push(`<path class="line" stroke-width="4" d="M${x + 6} ${y}H${x + wide - 6}"/>`);
  if (tank.cover === "mesh") parts.push(`<path class="line" stroke-width="2" stroke-dasharray="2 3" d="M${x} ${y}H${x + wide}"/>`);
  const lamps = scene.lights.filter((one) => one.tank === place && courseAt(run, `light ${one.name}`, at) > 0);
  text(x + 9, surface + 16, [tank.name, volumeText(tank.litres, 0), ...lamps.map((lamp) => `${lamp.name} on`)].join(", "), 11.5);
  text(x + 9, surface + 38, temperatureText(water, 2), 20, 600);
  let line = surface + 53;
  if (side !== "") text(x + 9, line, side === "warm" ? "warmer than wanted" : "colder than wanted", 11.5, 700);
  if (tank.livestock) line += 14;
  for (const probe of scene.probes.filter((one) => one.tank === place && one.controls)) {
    const reading = courseAt(run, `probe ${probe.name}`, at);
    const out = befalls(run, at, "pull-probe", probe.name);
    const shown = Number.isNaN(reading) ? "no reading" : `reads ${temperatureText(reading)}`;
    text(x + 9, line, `${probe.name} ${shown}${out ? ", in air" : ""}`, 11);
    line += 14;
  }
  for (const element of elements.filter((one) => one.tank === place)) {
    const { wireX, now } = element;
    const rod = `rod${now.flows ? " flows" : ""}${now.dead ? " dead" : ""}`;
    if (element.kind === "fan") {
      parts.push(`<path class="${rod}" d="M${wireX - 9} ${y - 46}l18 0l-4 8h-10z"/>`);
      parts.push(`<text x="${wireX - 14}" y="${y - 38}" font-size="11" class="halo" text-anchor="end">${escaped(`${element.name}: ${now.flows ? "blows" : "still"}`)}</text>`);
    } else {
      parts.push(`<rect class="${rod}" x="${wireX - 6}" y="${y + tall - 30}" width="12" height="26" rx="5"/>`);
      const watts = now.flows ? courseAt(run, `${element.kind} ${element.name}`, at).toFixed(0) : "0";
      const words = `${element.name} ${watts} W`;
      // Beside the rod, on one line or two; where the pane or the next rod is too near, above it.
      const next = elements.find((one) => one.kind !== "fan" && one.tank === place && one.wireX > wireX);
      const room = Math.min(x + wide - 6, next === undefined ? Infinity : next.wireX - 10) - wireX - 10;
      if (widthOf(words, 11) <= room) {
        text(wireX + 10, y + tall - 9, words, 11);
      } else if (Math.max(widthOf(element.name, 11), widthOf(`${watts} W`, 11)) <= room) {
        text(wireX + 10, y + tall - 20, element.name, 11);
        text(wireX + 10, y + tall - 8, `${watts} W`, 11);
      } else {
        text(Math.max(x + 8, x + wide - 6 - widthOf(words, 11)), y + tall - 36, words, 11);
      }
    }
  }
  drawHeat(parts, run, tank, at, box, scene.fans.some((fan) => fan.tank === place), index);
}

// Heat out of a tank: over the surface by evaporation, over the surface otherwise, through the panes.
function drawHeat(parts, run, tank, at, box, fanned, index) {
  const sum = (...paths) => {
    const found = paths.map((path) => heatAt(run, `${path} ${tank.name}`, at)).filter((value) => value !== undefined);
    return found.length === 0 ? undefined : -found.reduce((a, b) => a + b, 0);
  };
  // Words for heat that leaves, and for heat that comes in.
  const arrow = (x, y, dx, dy, watts, [leaves, comes], [tx, ty]) => {
    if (watts === undefined || Math.abs(watts) < 0.5) return;
    const [fromX, fromY, toX, toY] = watts > 0 ? [x, y, x + dx, y + dy] : [x + dx, y + dy, x, y];
    const breadth = Math.max(1.5, Math.min(12, Math.abs(watts) / W_PER_PX));
    parts.push(`<path class="heat" stroke-width="${breadth.toFixed(1)}" marker-end="url(#tip${index})" d="M${fromX} ${fromY}L${toX} ${toY}"/>`);
    parts.push(`<text x="${tx}" y="${ty}" font-size="10.5" class="halo">${escaped(watts > 0 ? leaves : comes)}</text><text x="${tx}" y="${ty + 12}" font-size="11" font-weight="600" class="halo">${Math.abs(watts).toFixed(0)} W</text>`);
  };
  const { x, y, wide, tall } = box;
  const first = x + 18;
  // Clear of the words of the first; a fan blows where the arrow would stand.
  const second = Math.max(first + 11 + widthOf("condensation", 10.5) + 14, x + wide * (fanned ? 0.4 : 0.68));
  arrow(first, y + 4, 0, -26, sum("evaporation"), ["evaporation", "condensation"], [first + 11, y - 24]);
  arrow(second, y + 4, 0, -26, sum("convection", "radiation", "lid"), ["to the air", "from the air"], [second + 11, y - 24]);
  arrow(x + wide + 2, y + tall * 0.6, 20, 0, sum("sides", "bottom"), ["panes", "panes, in"], [x + wide + 6, y + tall * 0.6 - 22]);
}

function drawFlow(parts, run, at, boxes, flow, index) {
  const { scene } = run;
  const [upper, lower] = [boxes.get(flow.from), boxes.get(flow.to)].sort((a, b) => a.y - b.y);
  const pump = flow.pump === null ? undefined : scene.pumps[flow.pump];
  const moves = pump === undefined || courseAt(run, `pump ${pump.name}`, at) > 0;
  const of = `class="line" stroke-width="${moves ? 2.5 : 1.2}" ${moves ? "" : 'stroke-dasharray="2 4"'}`;
  const tip = moves ? `marker-end="url(#tip${index})"` : "";
  parts.push(`<path ${of} ${tip} d="M14 ${lower.y + 30}V${upper.y + 40}H${upper.x - 8}"/>`);
  parts.push(`<path ${of} d="M14 ${lower.y + 30}H${lower.x}"/>`);
  const words = moves ? `${pump === undefined ? "water" : pump.name} runs` : `${pump.name} stands still`;
  parts.push(`<text x="${LEFT}" y="${upper.y + upper.tall + 13}" font-size="11" class="halo">${escaped(words)}</text>`);
}

// The first minute at which a heater's body was so hot that it counts as run dry; undefined: never.
function ranDry(run) {
  const { scene } = run;
  for (let row = 0; row < run.course.rows; row++) {
    const dry = scene.heaters.find((heater) => cell(run.course, `body ${heater.name}`, row) > CAUTIONS.ran_dry.above_c);
    if (dry !== undefined) return { heater: dry.name, minute: (row * run.course.every_ms) / 60000 };
  }
  return undefined;
}

// The same in a sentence.
function wordsOf(run, at) {
  const { scene } = run;
  const tanks = shownTanks(scene).map((tank) => {
    const now = courseAt(run, `water ${tank.name}`, at);
    const before = courseAt(run, `water ${tank.name}`, Math.max(0, at - 60));
    const way = now - before > 0.05 ? "rising" : now - before < -0.05 ? "falling" : "steady";
    return `${tank.name} ${temperatureText(now)} and ${way}`;
  });
  const heaters = scene.heaters.map((heater) => `${heater.name} ${elementState(run, heater, "heater", at).words}`);
  const fans = scene.fans.map((fan) => `${fan.name} ${elementState(run, fan, "fan", at).flows ? "blows" : "still"}`);
  return [...tanks, ...heaters, ...fans].join("; ") + ".";
}

// What stands there, in a line: what a lesson's tank is, whatever the scenario that it was made from says.
function factsOf(run) {
  const { scene, course } = run;
  const tanks = scene.tanks.map((tank) => `${tank.name} ${volumeText(tank.litres, 0)}`);
  const heaters = scene.heaters.map((heater) => `${heater.name} ${heater.power_w.toFixed(0)} W behind ${heater.chain.map((place) => scene.contacts[place].name).join(", ")}`);
  const fans = scene.fans.map((fan) => `${fan.name} ${fan.power_w.toFixed(0)} W`);
  let [coldest, warmest] = [Infinity, -Infinity];
  for (let row = 0; row < course.rows; row++) {
    const room = cell(course, "room", row);
    coldest = Math.min(coldest, room);
    warmest = Math.max(warmest, room);
  }
  const room = warmest - coldest < 0.2 ? lineText((warmest + coldest) / 2) : `${trimmed(degrees(coldest), 1)} to ${lineText(warmest)}`;
  return `${[...tanks, ...heaters, ...fans].join("; ")}; room ${room}; ${lengthText(scene.duration_ms / 60000)}.`;
}
