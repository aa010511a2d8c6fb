// Reads one WebVTT file and prints what the strict parser found in it, as JSON.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const require = createRequire(import.meta.url);
const { WebVTTParser } = require("webvtt-parser");
const entities = require("webvtt-parser/html-entities.json");
const [path, mode] = process.argv.slice(2);
const { cues, errors } = new WebVTTParser(entities).parse(readFileSync(path, "utf-8"), mode ?? "metadata");
const text = (node) => (node.type === "text" ? node.value : (node.children ?? []).map(text).join(""));
console.log(JSON.stringify({
  errors,
  cues: cues.map((cue) => ({
    id: cue.id, start: cue.startTime, end: cue.endTime, text: cue.tree ? text(cue.tree) : cue.text,
  })),
}));
