// reasons.ts: what holds for every load of a day is said once, above them; each load then says only what is its own.

export function sentencesOf(reason: string): string[] {
  return reason.split(/(?<=[.!?])\s+(?=\p{Lu})/u).filter((one) => one !== "");
}

/** The sentences that every one of several reasons has, in their order; none where there is one reason only. */
export function sharedSentences(reasons: string[]): string[] {
  const [first, ...others] = reasons.map(sentencesOf);
  if (!first || others.length === 0) return [];
  return first.filter((one) => others.every((sentences) => sentences.includes(one)));
}

export function withoutSentences(reason: string, shared: string[]): string {
  return sentencesOf(reason)
    .filter((one) => !shared.includes(one))
    .join(" ");
}
