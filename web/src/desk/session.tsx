// session.tsx: who sits at the desk.
import { createContext } from "preact";
import { useContext } from "preact/hooks";
import type { Me } from "../api-types";

export const MeContext = createContext<{ me: Me; enter: (me: Me | null) => void } | null>(null);

export function useMe(): Me {
  return useContext(MeContext)!.me;
}
/** Whether this account may change things (assistants may, apart from what belongs to the coach). */
export function useMayWrite(): boolean {
  const role = useMe().role;
  return role === "coach" || role === "assistant";
}
export function useIsCoach(): boolean {
  return useMe().role === "coach";
}
