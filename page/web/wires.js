// The wires from the mains up to what they feed, each through its contacts. What all share next to the mains is drawn once.

// A contact with its words, px; on a tight wire its words stand below each other.
const CONTACT_HEIGHT = 46;
const TIGHT_HEIGHT = 58;
const TIGHT = 104;

// Contacts that somebody or something else than chance switches.
function isSwitching(contact) {
  return contact.kind !== "residual-current device" && contact.kind !== "breaker";
}

// What an element does at a time, in words: {flows, words, decides: positions of contacts}.
function elementState(run, element, kind, at) {
  const { scene } = run;
  const power = courseAt(run, `${kind} ${element.name}`, at);
  const welded = (place) => befalls(run, at, "weld", scene.contacts[place].name);
  const closed = (place) => courseAt(run, `contact ${scene.contacts[place].name}`, at) === 1;
  const open = element.chain.filter((place) => !closed(place));
  const names = (places) => places.map((place) => scene.contacts[place].name).join(" and ");
  const free = element.chain.filter((place) => isSwitching(scene.contacts[place]) && !welded(place));
  if (power > 0) {
    const next = free[0];
    const words = next === undefined ? "nothing is left to switch it off" : `${scene.contacts[next].name} decides`;
    return { flows: true, words: `${power.toFixed(0)} W: ${words}`, decides: next === undefined ? [] : [next] };
  }
  if (befalls(run, at, "kill-heater", element.name)) return { flows: false, dead: true, words: "burnt out", decides: [] };
  if (befalls(run, at, "cut-power")) return { flows: false, words: "no mains", decides: [] };
  if (open.length > 0) return { flows: false, words: `off: ${names(open)} open`, decides: open };
  return { flows: false, words: "no current", decides: [] };
}

// How many contacts all elements share, counted from the mains.
function sharedContacts(elements) {
  if (elements.length < 2) return 0;
  const [first] = elements;
  const differs = first.chain.findIndex((contact, nth) => elements.some((one) => one.chain[nth] !== contact));
  return differs < 0 ? first.chain.length : differs;
}

// Draws all wires below `top`; gives the height of the mains.
function drawWires(parts, run, at, elements, width, top) {
  const shared = sharedContacts(elements);
  const own = (element) => element.chain.slice(shared).reverse();
  const span = elements.length > 1 ? elements[1].wireX - elements[0].wireX : width;
  const tight = span < TIGHT;
  const height = tight ? TIGHT_HEIGHT : CONTACT_HEIGHT;
  const longest = Math.max(0, ...elements.map((element) => own(element).length));
  const joint = top + longest * height + 8;
  elements.forEach((element, nth) => {
    const { wireX: x, now, from } = element;
    const wire = now.flows ? "wire flows" : "wire";
    parts.push(`<path class="${wire}" d="M${x} ${from}V${top}"/>`);
    own(element).forEach((contact, level) => {
      // A contact that opens has its bridge to the left of its wire, also the next one's.
      const beside = elements[nth + 1] && own(elements[nth + 1])[level];
      const room = span - (beside !== undefined && isSwitching(run.scene.contacts[beside]) ? 28 : 18);
      drawContact(parts, run, at, contact, { x, top: top + level * height, height, room, tight, flows: now.flows, decides: now.decides.includes(contact) });
    });
    parts.push(`<path class="${wire}" d="M${x} ${top + own(element).length * height}V${joint}${shared > 0 ? `H${elements[0].wireX}` : ""}"/>`);
  });
  const flows = elements.some((element) => element.now.flows);
  const trunk = elements[0]?.wireX;
  for (let level = 0; level < shared; level++) {
    const contact = elements[0].chain[shared - 1 - level];
    const decides = elements.some((element) => element.now.decides.includes(contact));
    drawContact(parts, run, at, contact, { x: trunk, top: joint + level * CONTACT_HEIGHT, height: CONTACT_HEIGHT, room: width - trunk - 14, tight: false, flows, decides });
  }
  const mains = joint + shared * CONTACT_HEIGHT + 8;
  const ends = shared > 0 ? [{ x: trunk, flows }] : elements.map((element) => ({ x: element.wireX, flows: element.now.flows }));
  for (const end of ends) parts.push(`<path class="${end.flows ? "wire flows" : "wire"}" d="M${end.x} ${mains - 8}V${mains}"/>`);
  const dark = befalls(run, at, "cut-power");
  parts.push(`<path class="line" stroke-width="${dark ? 1.5 : 4}" ${dark ? 'stroke-dasharray="4 4"' : ""} d="M8 ${mains}H${width - 8}"/>`);
  parts.push(`<text x="${width - 8}" y="${mains + 15}" font-size="12" text-anchor="end">${dark ? "mains: no electricity" : "mains"}</text>`);
  return mains;
}

function drawContact(parts, run, at, contact, { x, top, height, room, tight, flows, decides }) {
  const { name } = run.scene.contacts[contact];
  const closed = courseAt(run, `contact ${name}`, at) === 1;
  const weld = befalls(run, at, "weld", name);
  const wire = flows ? "wire flows" : "wire";
  parts.push(`<path class="${wire}" d="M${x} ${top}v14M${x} ${top + 34}V${top + height}"/>`);
  parts.push(`<circle cx="${x}" cy="${top + 14}" r="2.5" fill="var(--ink)"/><circle cx="${x}" cy="${top + 34}" r="2.5" fill="var(--ink)"/>`);
  parts.push(closed ? `<path class="bridge${flows ? "" : " idle"}" d="M${x} ${top + 14}V${top + 34}"/>` : `<path class="bridge idle" d="M${x} ${top + 34}L${x - 13} ${top + 17}"/>`);
  if (weld) parts.push(`<path class="line" stroke-width="2" d="M${x - 6} ${top + 18}l12 12m0 -12l-12 12"/>`);
  const weight = decides ? 700 : 400;
  const [size, lines] = namedOnWire(name, room, weight, tight);
  const is = weld ? "welded" : closed ? "closed" : "open";
  let y = top + (lines.length > 1 ? 13 : 22);
  const tell = (words, of, px) => {
    parts.push(`<text x="${x + 10}" y="${y}" font-size="${px}" font-weight="${weight}" ${of}>${escaped(words)}</text>`);
    y += 11.5;
  };
  for (const line of lines) tell(line, "", size);
  if (!tight) y += 1.5;
  for (const line of tight ? [is, ...(decides ? ["decides"] : [])] : [decides ? `${is}, decides` : is]) tell(line, 'class="soft"', 10);
}

// A contact's name as it fits beside its wire: its size, and one line or two.
function namedOnWire(name, room, weight, tight) {
  const size = [12, 11, 10].find((one) => widthOf(name, one, weight) <= room);
  if (size !== undefined) return [size, [name]];
  const space = name.lastIndexOf(" ");
  const lines = tight && space > 0 ? [name.slice(0, space), name.slice(space + 1)] : [name];
  const smaller = [11, 10].find((one) => lines.every((line) => widthOf(line, one, weight) <= room)) ?? 9.5;
  return [smaller, lines.map((line) => fitted(line, smaller, room, weight))];
}
