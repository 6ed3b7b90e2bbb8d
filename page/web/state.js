// All that a page is: what runs are made of, and the time looked at. It stands in the address behind "#".

const LIMIT_OF_LINK = 20000;

function freshState(scenario, strategies) {
  return { scenario, strategies, sliders: {}, acts: [], seed: 7, at: 0 };
}

function setupOf(state) {
  const { scenario, strategies, sliders, acts, seed } = state;
  return { scenario, strategies, sliders, acts, seed };
}

function linkOf(state) {
  return "#" + encodeURIComponent(JSON.stringify(state));
}

// The state in an address; undefined: none. Whether its names exist is for the model to say.
function stateOfLink(hash) {
  if (hash.length < 2 || hash.length > LIMIT_OF_LINK || !hash.startsWith("#%7B")) return undefined;
  const state = JSON.parse(decodeURIComponent(hash.slice(1)));
  const fresh = freshState(String(state.scenario), (state.strategies ?? []).map(String));
  return {
    ...fresh,
    sliders: state.sliders ?? {},
    acts: state.acts ?? [],
    seed: Number.isSafeInteger(state.seed) ? state.seed : fresh.seed,
    at: Number.isFinite(state.at) ? Math.max(0, Math.floor(state.at)) : 0,
  };
}

// "day 2 14:05"
function clockText(minute) {
  const two = (n) => String(n).padStart(2, "0");
  return `day ${Math.floor(minute / 1440) + 1} ${two(Math.floor(minute / 60) % 24)}:${two(minute % 60)}`;
}

// "2 d 3 h", "45 min"
function lengthText(minutes) {
  const days = Math.floor(minutes / 1440);
  const hours = Math.floor(minutes / 60) % 24;
  if (days > 0) return hours > 0 ? `${days} d ${hours} h` : `${days} d`;
  const rest = Math.floor(minutes % 60);
  if (hours > 0) return rest > 0 ? `${hours} h ${rest} min` : `${hours} h`;
  return `${rest} min`;
}

function isUnderWay(act, minute) {
  return act.from_min <= minute && (act.to_min == null || minute < act.to_min);
}

// What befalls a run at a time: of a kind, and to something of a name where one is given.
function befalls(run, minute, what, name) {
  const at = minute * 60000;
  return run.happened.some((one) => one.what === what && one.from_ms <= at && (one.to_ms === null || at < one.to_ms) && (name === undefined || one.of.includes(name)));
}

function escaped(text) {
  return String(text).replace(/[&<>"']/g, (c) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[c]);
}
