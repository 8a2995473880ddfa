// theme.ts: light, dark, or as the system has it.
import { useState } from "preact/hooks";

export type Theme = "system" | "light" | "dark";
const key = "thew-theme";
const darkRules: CSSMediaRule[] = [];

function stored(): Theme {
  try {
    const value = localStorage.getItem(key);
    return value === "light" || value === "dark" ? value : "system";
  } catch {
    return "system";
  }
}

function switchRule(rule: CSSMediaRule, theme: Theme) {
  rule.media.mediaText = theme === "system" ? "screen and (prefers-color-scheme: dark)" : theme === "dark" ? "screen" : "not all";
}

/** The drawings' sheet knows the system's wish only: its rule for dark screens is switched with the page. */
export function followTheme(sheet: CSSStyleSheet) {
  for (const rule of sheet.cssRules)
    if (rule instanceof CSSMediaRule && rule.media.mediaText.includes("prefers-color-scheme")) {
      darkRules.push(rule);
      switchRule(rule, stored());
    }
}

export function applyTheme(theme: Theme = stored()) {
  if (theme === "system") delete document.documentElement.dataset["theme"];
  else document.documentElement.dataset["theme"] = theme;
  for (const rule of darkRules) switchRule(rule, theme);
}

export function useTheme(): [Theme, (theme: Theme) => void] {
  const [theme, set] = useState(stored);
  return [
    theme,
    (next) => {
      try {
        if (next === "system") localStorage.removeItem(key);
        else localStorage.setItem(key, next);
      } catch {
        // It holds for this page then.
      }
      applyTheme(next);
      set(next);
    },
  ];
}
