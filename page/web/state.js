// All that a page is: what runs are made of, and the time looked at. It stands in the address behind "#".

// Longest address that is made and read. Browsers take more; mails and messengers do not.
const LIMIT_OF_LINK = 30000;
const FILES = "&files=";

function freshState(scenario, strategies, files) {
  return { scenario, strategies, files, sliders: {}, acts: [], lesson: null, each: [], seed: 7, at: 0, span: 0 };
}

// All tanks of a lesson beside each other: what was done to each stands in `each`.
function besideState(lesson) {
  const each = lesson.set_ups.map((stage) => structuredClone(stage.acts));
  return { ...freshState("", [], []), lesson: lesson.name, each, ...beginOf(lesson, Math.min(...lesson.set_ups.map((stage) => stage.at))) };
}

// The time at which a lesson begins, and how closely one looks: some show a few hours, others all from before what breaks.
function beginOf(lesson, at) {
  return lesson.closely === null ? { at, span: 0 } : { at: lesson.closely.from_min, span: lesson.closely.for_min };
}

// What is run: the scenario that was chosen, or every tank of a lesson. The acts in it are those of the state itself.
function setUpsOf(state, lessons) {
  const { scenario, strategies, files, sliders, acts, seed } = state;
  if (state.lesson === null) return [{ scenario, strategies, files, sliders, acts, seed }];
  const lesson = lessons.find((one) => one.name === state.lesson);
  if (lesson === undefined) throw new Error(`no lesson is named ${state.lesson}`);
  return lesson.set_ups.map((stage, nth) => ({ scenario: stage.scenario, strategies: stage.strategies, files: stage.files, sliders: stage.sliders, acts: state.each[nth] ?? [], seed }));
}

// Every list of acts: one, or one for each tank of a lesson.
function actLists(state) {
  return state.lesson === null ? [state.acts] : state.each;
}

// The link of a state, with its own files as they were packed; undefined: it is too long for one.
function linkOf(state, packed) {
  const { scenario, strategies, sliders, acts, lesson, each, seed, at, span } = state;
  const told = lesson === null ? { scenario, strategies, sliders, acts, seed, at } : { lesson, each, seed, at };
  if (span > 0) told.span = span;
  if (reader.us) told.units = "us";
  const link = `#${encodeURIComponent(JSON.stringify(told))}${state.files.length > 0 ? FILES + packed : ""}`;
  return link.length > LIMIT_OF_LINK ? undefined : link;
}

// What stands in an address; undefined: nothing. Whether its names exist is for the model to say.
async function toldInLink(hash) {
  if (hash.length < 2 || hash.length > LIMIT_OF_LINK || !hash.startsWith("#%7B")) return undefined;
  const [told, packed] = hash.slice(1).split(FILES);
  return { told: JSON.parse(decodeURIComponent(told)), files: packed === undefined ? [] : await unpackFiles(packed) };
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
function stateOf(told, files) {
  const fresh = freshState(String(told.scenario ?? ""), (told.strategies ?? []).map(String), files);
  return {
    ...fresh,
    sliders: told.sliders ?? {},
    acts: told.acts ?? [],
    lesson: told.lesson == null ? null : String(told.lesson),
    each: told.each ?? [],
    seed: Number.isSafeInteger(told.seed) ? told.seed : fresh.seed,
    span: Number.isFinite(told.span) && told.span >= 60 ? Math.floor(told.span) : 0,
    at: Number.isFinite(told.at) ? Math.max(0, Math.floor(told.at)) : 0,
  };
}

function isUnderWay(act, minute) {
  return act.from_min <= minute && (act.to_min == null || minute < act.to_min);
}

// What befalls a run at a time: of a kind, and to something of a name where one is given.
function befalls(run, minute, what, name) {
  const at = minute * 60000;
  return run.happened.some((one) => one.what === what && one.from_ms <= at && (one.to_ms === null || at < one.to_ms) && (name === undefined || one.of.includes(name)));
}
