// All that a page is: what runs are made of, and the time looked at. It stands in the address behind "#".

// Longest address that is made and read. Browsers take more; mails and messengers do not.
const LIMIT_OF_LINK = 30000;
const FILES = "&files=";

function freshState(scenario, strategies, files) {
  return { scenario, strategies, files, sliders: {}, acts: [], seed: 7, at: 0 };
}

function setupOf(state) {
  const { scenario, strategies, files, sliders, acts, seed } = state;
  return { scenario, strategies, files, sliders, acts, seed };
}

// The link of a state, with its own files as they were packed; undefined: it is too long for one.
function linkOf(state, packed) {
  const { files, ...rest } = state;
  const link = `#${encodeURIComponent(JSON.stringify(rest))}${files.length > 0 ? FILES + packed : ""}`;
  return link.length > LIMIT_OF_LINK ? undefined : link;
}

// The state in an address; undefined: none. Whether its names exist is for the model to say.
async function stateOfLink(hash) {
  if (hash.length < 2 || hash.length > LIMIT_OF_LINK || !hash.startsWith("#%7B")) return undefined;
  const [told, packed] = hash.slice(1).split(FILES);
  return stateOf(JSON.parse(decodeURIComponent(told)), packed === undefined ? [] : await unpackFiles(packed));
}

// Files as letters that an address takes: shortened, then base 64 with its two letters for addresses.
async function packFiles(files) {
  const bytes = await through(new Blob([JSON.stringify(files)]), new CompressionStream("deflate-raw"));
  const letters = btoa(Array.from(bytes, (byte) => String.fromCharCode(byte)).join(""));
  return letters.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

async function unpackFiles(packed) {
  const letters = atob(packed.replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
  const files = JSON.parse(new TextDecoder().decode(await through(new Blob([bytes]), new DecompressionStream("deflate-raw"))));
  return files.map(({ name, text }) => ({ name: String(name), text: String(text) }));
}

async function through(blob, stream) {
  return new Uint8Array(await new Response(blob.stream().pipeThrough(stream)).arrayBuffer());
}

// A whole state from what is told of one.
function stateOf(state, files) {
  const fresh = freshState(String(state.scenario), (state.strategies ?? []).map(String), files);
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

// A file's bytes as text, without the mark that some editors put first.
function textOf(name, bytes) {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new Error(`${name}: this is no text (UTF-8)`);
  }
}
