// takes.ts: what one can take for an exercise: the rungs that were advised from, or else what catalogue and kit allow.
import type { Advised, Catalogue, Item } from "../api-types";

export interface Take {
  variant: string;
  implement: string | null;
  setting: string | null;
  label: string;
}

export function takeKey(take: Pick<Take, "variant" | "implement" | "setting">): string {
  return JSON.stringify([take.variant, take.implement, take.setting]);
}

export function takesOf(exercise: string, advised: Advised | undefined, catalogue: Catalogue, kit: Item[]): Take[] {
  const found = catalogue.exercises.find((one) => one.exercise === exercise);
  const usual = found?.usual ?? exercise;
  const nameTail = (variant: string) => {
    const name = found?.variants.find((one) => one.variant === variant)?.name;
    return variant === usual || !name ? "" : ` (${name})`;
  };
  if (advised && advised.ladder.length > 0)
    return advised.ladder.map(({ variant, implement, setting, label }) => ({
      variant,
      implement,
      setting,
      label: label + nameTail(variant),
    }));
  const takes: Take[] = [];
  for (const variant of found?.variants ?? [])
    for (const way of variant.implements) {
      const tail = nameTail(variant.variant);
      if (way.kind === "body")
        takes.push({ variant: variant.variant, implement: null, setting: null, label: `body weight${tail}` });
      else
        for (const item of kit.filter((one) => one.kind === way.kind && !one.retired_day))
          for (const setting of way.settings.length > 0 ? way.settings : [null])
            takes.push({
              variant: variant.variant,
              implement: item.label,
              setting: setting?.setting ?? null,
              label: `${item.label}${way.settings.length > 1 ? `, ${setting!.setting}` : ""}${tail}`,
            });
    }
  return takes;
}
