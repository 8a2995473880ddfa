// api-types.ts: what the desk and the server say to each other.
// Days are RFC 3339 full-dates ("2026-11-25"); instants RFC 3339 date-times in UTC, to the microsecond; numbers SI. What is unknown is
// null, never left out. Identifiers are made by whoever writes first (a UUID will do), so sending again is harmless.
// Errors are RFC 9457 problem details. Unknown fields are refused.

export type Day = string;
export type Instant = string;
export type Role = "coach" | "assistant" | "participant" | "helper" | "clinician";
export type Side = "both" | "left" | "right";
export type Ended = "failure" | "completed" | "reserve" | "symptom" | "other";
export type ImplementKind = "body" | "band" | "loop" | "dumbbell" | "cuff";
export type Position = "seated" | "standing" | "lying";

/** application/problem+json. `errors` names each field at fault with a JSON Pointer. */
export interface Problem {
  type: string; title: string; status: number; detail: string;
  errors: { pointer: string; detail: string }[];
}

// --- who may come in ---------------------------------------------------------------------------------------------------------
// GET  /api/me                             Me, or 401
// POST /api/login        {login, password} Me and a cookie; 401 with the same sentence whatever was wrong; 429 after many tries
// POST /api/logout                         204
// POST /api/invitation   {secret, login, password, called}  Me and a cookie: a one-time link is used up
// GET  /api/invitation/{secret}            {role, called, login|null}: what a link is for; 404 if used or ended
// POST /api/password     {old, new}        204; other sessions of the account end
// Every other method than GET needs the header X-CSRF-Token with Me.csrf_token (login and invitation: Sec-Fetch-Site/Origin is looked at).
export interface Me {
  account: string; login: string; role: Role; called: string; person: string | null; csrf_token: string;
  studio: { studio: string; called: string; zone: string; language: string; demo: boolean; today: Day };
}
export interface LinkPurpose { role: Role; called: string; login: string | null } // GET /api/invitation/{secret}
export interface AccountLink { account: string; link: string; ends_at: Instant } // the link's secret stands behind its #
// GET /api/accounts            Account[]               coach
// POST /api/accounts           NewAccount -> {account, link, ends_at}   a one-time link to hand over; coach
// POST /api/accounts/{account}/invitation  {} -> {account, link, ends_at}: a new link (a forgotten password); coach
// DELETE /api/accounts/{account}           204: closed, sessions end; the last coach cannot be closed; coach
export interface Account {
  account: string; login: string; role: Role; called: string; person: string | null;
  sees: { person: string; until_day: Day | null }[]; made_at: Instant; closed_at: Instant | null; invited: boolean;
}
export interface NewAccount {
  account: string; login: string; role: Role; called: string; person: string | null;
  sees: { person: string; until_day: Day | null }[];
}
// GET /api/access?person=&count=   AccessEntry[]: who looked; coach, or the person themself
export interface AccessEntry { at: Instant; account_called: string | null; person: string | null; action: string; what: string }

// --- the studio and the catalogue ----------------------------------------------------------------------------------------------
// GET /api/studio     Studio;   PUT /api/studio  StudioChange -> Studio (coach)
export interface Studio {
  studio: string; called: string; zone: string; language: string; demo: boolean;
  settings: Settings; version: string; engine: string;
  counts: { people: number; sets: number; items: number; classes: number };
}
export interface Settings { heat_caution_c: number; window_from_s: number; window_to_s: number; floor_s: number }
export interface StudioChange { called: string; zone: string; language: string; settings: Settings }
// GET /api/catalogue  Catalogue (strong ETag)
export interface Catalogue {
  goals: { goal: string; name: string; words: string }[];
  muscles: { muscle: string; name: string; region: string }[];
  exercises: Exercise[];
  screening: ScreeningQuestion[];
  measures: { measure: string; name: string; unit: string; words: string; better: "higher" | "lower" }[];
}
export interface Exercise {
  exercise: string; name: string; kind: "repetitions" | "hold"; prime_movers: string[]; synergists: string[]; goals: string[];
  variants: Variant[]; usual: string;
}
export interface Variant {
  variant: string; name: string; position: Position; unilateral: boolean; set_up: string[]; cues: string[]; breathing: string;
  implements: { implement: string; kind: ImplementKind; pieces: number; words: string; anchor: string | null;
    settings: { setting: string; words: string }[]; cautions: { caution: string; words: string; confirm: boolean; when: "before" | "during" }[] }[];
}
export interface ScreeningQuestion {
  question: string; words: string; help: string; kind: "yes_no" | "number" | "choice"; unit: string | null;
  choices: { choice: string; words: string }[]; rules: string[];
}

// --- today -------------------------------------------------------------------------------------------------------------------------
// GET /api/today?day=   Today; coach, assistant
export interface Today {
  day: Day;
  attention: Attention[];            // most urgent first
  trains: TrainsToday[];             // who is expected today: planned, or by their own rhythm
  waiting: number;                   // advice waiting for a yes, all told
  recent: { person: string; called: string; day: Day; sets: number }[]; // who trained in the last days
}
export interface Attention {
  kind: "decline" | "symptom" | "ladder_used_up" | "missed_weeks" | "too_much" | "advice_waiting" | "not_screened" | "no_kit";
  person: string; called: string; day: Day; words: string; // a sentence
  what_to_do: string;                                       // another; defers to the clinician where it should
  exercise: string | null;
}
export interface TrainsToday { person: string; called: string; why: string; earliest: Day | null; heat_sensitive: boolean }

// --- people ---------------------------------------------------------------------------------------------------------------------------
// GET /api/people              PersonBrief[] (those the account may see)
// POST /api/people             PersonChange + {person} -> Person (201)          coach, assistant
// GET /api/people/{person}     Person
// PUT /api/people/{person}     PersonChange -> Person
// DELETE /api/people/{person}  {called} must repeat what they are called; 409 if nothing was exported since the last record -> 204   coach
// GET /api/people/{person}/export     application/zip: CSV files and JSON of all that is kept; noted in the access log
export interface PersonBrief {
  person: string; called: string; since_day: Day | null; left_day: Day | null; last_day: Day | null; sets: number;
  screened: boolean; declined: boolean; waiting: number; endpoint: "failure" | "reserve" | null;
}
export interface PersonChange {
  called: string; sex: "female" | "male" | null; birth_year: number | null; height_m: number | null; mass_kg: number | null;
  condition: "ms" | "none" | null; endpoint: "failure" | "reserve" | null; weaker_side: "left" | "right" | null;
  heat_sensitive: boolean; note: string; since_day: Day | null; left_day: Day | null;
  goals: string[]; exercises: string[];
  limits: { kind: "movement" | "position"; what: string; reason: string; until_day: Day | null }[];
}
export interface Person extends PersonChange {
  person: string; made_at: Instant; changed_at: Instant;
  cautions: { caution: string; words: string }[];
  screening: Screening;
  last_day: Day | null; sets: number; declined: boolean; earliest: Day | null;
}
// POST /api/people/{person}/screening  {answers: {question, answer, note}[]} -> Screening
export interface Screening {
  answers: { question: string; answer: string; note: string; answered_at: Instant }[];
  missing: string[];                          // questions without an answer
  verdict: "clear" | "with_care" | "ask_first" | "not_asked";
  endpoint_forced: "reserve" | null;
  findings: { rule: string; words: string; action: string }[]; // each with what to say or do
}

// GET /api/people/{person}/advice?day=    PersonAdvice: made if it is not there, then kept with its odds
// POST /api/advice/{advice}/accept   {} -> Advised
// POST /api/advice/{advice}/override {override, variant, implement, setting, reason} -> Advised
// DELETE /api/advice/{advice}/answer -> Advised: back to open (undo), as long as no set was done on it
export interface PersonAdvice {
  person: string; day: Day; endpoint: "failure" | "reserve"; declined: boolean; notes: string[]; advised: Advised[];
}
export interface Advised {
  advice: string; exercise: string; exercise_name: string; side: Side; variant: string; variant_name: string;
  implement: string | null; setting: string | null; label: string; setting_words: string;
  goal_s: number; floor_s: number; window_from_s: number; window_to_s: number;
  odds: Odds; reason: string; reason_code: string; if_completed: string | null; if_early: string | null;
  earliest: Day; last_day: Day | null; sets: number; became: "open" | "taken" | "overridden" | "lapsed";
  override: { label: string; reason: string } | null;
  ladder: LadderRung[]; cautions: string[]; outside_endurance: boolean;
}
export interface Odds { floor: number; early: number; window: number; beyond: number; p10_s: number | null; p50_s: number | null; p90_s: number | null } // null: without end
export interface LadderRung {
  variant: string; implement: string | null; setting: string | null; label: string; demand: number; odds: Odds; advised: boolean; last: boolean; chosen: boolean;
}
// GET /api/people/{person}/strength?exercise=&side=   Strength
// GET /api/people/{person}/strength.svg?exercise=&side=&width=   image/svg+xml: the plot
// GET /api/people/{person}/ladder.svg?exercise=&side=&width=     image/svg+xml: the ladder's odds
// GET /api/set-line.svg?exercise=&variant=&ended=&seconds=&p10=&p50=&p90=&width=   image/svg+xml
// GET /api/figure.svg?variant=&implement=&width=                 image/svg+xml: how it is done
export interface Strength {
  exercise: string; side: Side;
  estimates: { day: Day; percent: number; low: number; high: number }[]; // per cent of the first estimate, 80 % interval
  sets: { record: string; day: Day; percent: number; ended: Ended; seconds: number; label: string }[]; // others than failure: at least
  words: string; // what it says in a sentence: real change or noise
}

// --- the diary -------------------------------------------------------------------------------------------------------------------------
// GET /api/people/{person}/sets?from=&until=&history=  SetRecord[], newest day first, in order within a day; history=true: replaced ones too
// POST /api/sets       {sets: NewSet[]} (at most 500) -> {results: {record, status: "kept"|"repeated"}[]}: all or none; 409 with the field at fault on conflict
// GET /api/people/{person}/check-ins   CheckIn[];  POST /api/check-ins {check_ins: NewCheckIn[]} likewise, and the verdict
// GET /api/people/{person}/outcomes    Outcome[];  POST /api/outcomes {outcomes: NewOutcome[]}
export interface Kept { results: { record: string; status: "kept" | "repeated" }[] }
export interface KeptCheckIns { results: { record: string; status: "kept" | "repeated"; verdict: "go" | "lighter" | "not_today" | "ask_first" | null; words: string[] }[] }
export interface Entry {
  record: string; person: string; day: Day; at: Instant | null; replaces: string | null; withdrawn: boolean; note: string;
}
export interface NewSet extends Entry {
  exercise: string; variant: string | null; side: Side; implement: string | null; setting: string | null;
  ended: Ended; seconds: number; reserve_s: number | null; exertion: number | null;
}
export interface SetRecord extends NewSet { current: boolean; written_by: string; exercise_name: string; label: string }
export interface NewCheckIn extends Entry {
  room_c: number | null; humidity_percent: number | null; fatigue: number | null; sleep: number | null; readiness: number | null;
  answers: Record<string, string> | null;
}
export interface CheckIn extends NewCheckIn { heat_index_c: number | null; verdict: "go" | "lighter" | "not_today" | "ask_first" | null; words: string[]; current: boolean }
export interface NewOutcome extends Entry { measure: string; value: number; unit: string; side: Side; practice: boolean; aid: string | null }
export interface Outcome extends NewOutcome { current: boolean; change_words: string | null }

// --- training blocks ----------------------------------------------------------------------------------------------------------------
// GET /api/people/{person}/blocks  Block[];  POST /api/people/{person}/blocks  Block (next version) -> Block
export interface Block {
  block: string; version: number; called: string; from_day: Day; until_day: Day; retired: boolean;
  plan: { sessions_a_week: number; weekdays: number[]; class: string | null; sets: number; easier_every_weeks: number | null };
}

// --- kit -------------------------------------------------------------------------------------------------------------------------------
// GET /api/kit?person=      Item[]: everybody's, and the person's own; without person: the whole studio's
// POST /api/kit             NewItem -> Item (201);   PUT /api/kit/{item}  NewItem -> Item
// POST /api/kit/{item}/readings  {readings: NewReading[]} -> Item
// POST /api/curve           CurveQuestion -> Curve: as one types; nothing is kept
// GET /api/kit/{item}/curve.svg?width=   image/svg+xml
export interface NewItem {
  item: string; person: string | null; label: string; kind: Exclude<ImplementKind, "body">; mass_kg: number | null; rest_length_m: number | null;
  step: number | null; note: string; retired_day: Day | null;
}
export interface NewReading { reading: string; length_m: number; force_n: number; measured_day: Day | null; note: string }
export interface Item extends NewItem { owner_called: string | null; readings: NewReading[]; curve: Curve | null; wear: string | null }
export interface CurveQuestion { rest_length_m: number; readings: { length_m: number; force_n: number }[]; width: number | null }
export interface Curve {
  points: { length_m: number; force_n: number; low_n: number; high_n: number }[]; // 80 % interval
  at_double_n: number | null; error_percent: number; news: string | null; svg: string;
}

// --- classes ---------------------------------------------------------------------------------------------------------------------------
// GET /api/classes             ClassBrief[];  GET /api/classes/{class}  Class (the latest version)
// POST /api/classes            NewClass (version: 1, or the next) -> Class
// POST /api/compose            Wishes -> Plan: nothing is kept
// POST /api/compose/check      {wishes: Wishes, order: PlanSlot[]} -> Plan: a hand-changed order, judged
// GET /api/classes/{class}/fits?people=a,b&day=   Fits: people x exercises
export interface Wishes {
  goals: { goal: string; weight: number }[]; minutes: number; positions: Position[]; kinds: ImplementKind[];
  sets: number; rest_s: number; fixed: string[]; excluded: string[]; // exercises
}
export interface PlanSlot { exercise: string; variant: string; sets: number; rest_s: number }
export interface Plan {
  slots: (PlanSlot & { exercise_name: string; variant_name: string; position: Position; starts_s: number; ends_s: number; sides: number;
    goals: string[]; prime_movers: string[]; synergists: string[]; notes: string[] })[];
  minutes: number; covered: { goal: string; share: number }[]; uncovered: string[]; objective: number; optimal: boolean; gap: number;
  broken: { words: string; slot: number | null }[]; // rules a hand-made order breaks; empty for a composed one
  words: string;
}
export interface NewClass { class: string; version: number; called: string; wishes: Wishes; slots: PlanSlot[]; retired: boolean }
export interface Class extends NewClass { plan: Plan; made_at: Instant; written_by: string }
export interface ClassBrief { class: string; version: number; called: string; minutes: number; slots: number; goals: string[]; retired: boolean; made_at: Instant }
export interface Fits {
  class: string; day: Day; slots: { exercise: string; variant: string; name: string }[];
  people: { person: string; called: string; cells: FitCell[] }[]; // a cell a slot
}
export interface FitCell {
  state: "fits" | "easier_variant" | "harder_variant" | "nothing_fits" | "off_limits"; label: string; variant: string | null;
  side_labels: { side: Side; label: string; window: number; goal_s: number }[]; words: string;
}

// --- in and out ----------------------------------------------------------------------------------------------------------------------
// GET  /api/export/{people|kit|diary|days}.csv    text/csv, as `thew advise` reads them;  GET /api/export.zip: everything
// POST /api/import   {people, kit, diary, days: string|null; dry: boolean} (texts of CSV files) -> Imported, or 422 with every fault found
export interface Imported { people: number; items: number; readings: number; sets: number; check_ins: number; repeated: number; dry: boolean; faults: { file: string; line: number; column: number; words: string; warning: boolean }[] }
// GET /api/health  {status: "pass", version, studio_readable}   GET /api/openapi.json   the whole described (OpenAPI 3.1)
export interface Health { status: "pass" | "fail"; version: string; studio_readable: boolean } // 503 with "fail"
/** What POST /api/import answers to faults: a Problem that has them as they lie in the files, too. */
export interface ImportProblem extends Problem { faults: { file: string; line: number; column: number; words: string; warning: boolean }[] }
