// tap.mjs: a reporter for node's test runner that says flat TAP: a line for each test, none for a suite, a file, or a test that only
// holds others. (node's own TAP nests, differently in each version, and so cannot be counted by its lines.)

/** The message of a failure with its cause, without the runner's own wrapping. */
function reason(error) {
  const cause = error?.cause ?? error;
  return String(cause?.stack ?? cause?.message ?? cause);
}

export default async function* tap(source) {
  let number = 0;
  let inner = 0; // how deep the test told last lay: one that lies above it holds it
  let says = "";
  for await (const { type, data } of source) {
    if (type === "test:stdout" || type === "test:stderr") says += data.message;
    if (type !== "test:pass" && type !== "test:fail") continue;
    const holds = data.nesting < inner;
    inner = data.nesting;
    const error = data.details?.error;
    if (data.details?.type === "suite" && error?.failureType !== "hookFailed") continue;
    if (holds && (type === "test:pass" || error?.failureType === "subtestsFailed")) continue;
    number += 1;
    const skip = data.skip !== undefined || data.todo !== undefined ? " # SKIP" : "";
    const name = String(data.name).replaceAll("#", "").replaceAll("\n", " ");
    yield `${type === "test:pass" || skip ? "ok" : "not ok"} ${number} - ${name}${skip}\n`;
    if (type === "test:fail") yield (reason(error) + "\n" + says).trimEnd().replace(/^/gm, "# ") + "\n";
    says = "";
  }
  yield `1..${number}\n`;
}
