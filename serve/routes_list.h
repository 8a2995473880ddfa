// routes_list.h: every route there is, a line each. Included where a macro ROUTE says what to make of a line; tools/openapi reads
// it too.
//
// ROUTE(method, path, for whom, which act, body, parameters of the query, handler, answer, in words)
//   body     a shape of bodies.h, or NULL
//   answer   status, then a type of web/src/api-types.ts or a media type

// clang-format off: a line is a route
// --- who may come in (access.c)
ROUTE(GET, "/api/me", ENTERED, 0, NULL, "", thew_me, "200 Me", "Who is logged in")
ROUTE(POST, "/api/login", ALL, 0, &thew_body_login, "", thew_login, "200 Me", "Log in by password; sets the session's cookie")
ROUTE(POST, "/api/logout", ENTERED, 0, NULL, "", thew_logout, "204", "End the session")
ROUTE(GET, "/api/invitation/{secret}", ALL, 0, NULL, "", thew_invitation, "200 LinkPurpose", "What a one-time link is for")
ROUTE(POST, "/api/invitation", ALL, 0, &thew_body_invitation, "", thew_invitation_use, "200 Me",
      "Use a one-time link up, and come in")
ROUTE(POST, "/api/password", ENTERED, 0, &thew_body_password, "", thew_password, "204", "Change one's password")
ROUTE(GET, "/api/accounts", STUDIO, THEW_ACT_ACCOUNTS, NULL, "", thew_accounts_list, "200 Account[]", "Every account")
ROUTE(POST, "/api/accounts", STUDIO, THEW_ACT_ACCOUNTS, &thew_body_account, "", thew_accounts_make, "201 AccountLink",
      "Make an account; its one-time link is told once")
ROUTE(POST, "/api/accounts/{account}/invitation", STUDIO, THEW_ACT_ACCOUNTS, &thew_body_empty, "", thew_accounts_invite,
      "200 AccountLink", "A new one-time link for an account")
ROUTE(DELETE, "/api/accounts/{account}", STUDIO, THEW_ACT_ACCOUNTS, NULL, "", thew_accounts_close, "204", "Close an account")
ROUTE(GET, "/api/access", LATER, THEW_ACT_READ_ACCESS, NULL, "person count", thew_access, "200 AccessEntry[]",
      "Who looked, newest first")

// --- the studio and the catalogue (studio.c)
ROUTE(GET, "/api/studio", STUDIO, THEW_ACT_READ_STUDIO, NULL, "", thew_studio_read, "200 Studio",
      "The studio, its settings, what it holds")
ROUTE(PUT, "/api/studio", STUDIO, THEW_ACT_WRITE_STUDIO, &thew_body_studio, "", thew_studio_write, "200 Studio",
      "Change name, zone, language, settings")
ROUTE(GET, "/api/catalogue", STUDIO, THEW_ACT_READ_CATALOGUE, NULL, "", thew_catalogue_read, "200 Catalogue",
      "Goals, muscles, exercises, the screening's questions, outcome measures")
ROUTE(GET, "/api/health", ALL, 0, NULL, "", thew_health, "200 Health", "Whether it serves, and can read its studio")
ROUTE(GET, "/api/openapi.json", ALL, 0, NULL, "", thew_openapi, "200 application/json", "This description")

// --- today (today.c)
ROUTE(GET, "/api/today", STUDIO, THEW_ACT_OVERVIEW, NULL, "day", thew_today_read, "200 Today",
      "Who needs the coach, and who trains")

// --- people (people.c)
ROUTE(GET, "/api/people", LATER, THEW_ACT_READ_PERSON, NULL, "", thew_people_list, "200 PersonBrief[]",
      "Those whom the account may see")
ROUTE(POST, "/api/people", STUDIO, THEW_ACT_ENROL, &thew_body_new_person, "", thew_people_make, "201 Person", "Take someone on")
ROUTE(GET, "/api/people/{person}", PERSON, THEW_ACT_READ_PERSON, NULL, "", thew_people_read, "200 Person", "One person")
ROUTE(PUT, "/api/people/{person}", PERSON, THEW_ACT_WRITE_PERSON, &thew_body_person, "", thew_people_write, "200 Person",
      "Change what is known of a person")
ROUTE(DELETE, "/api/people/{person}", PERSON, THEW_ACT_REMOVE_PERSON, &thew_body_remove, "", thew_people_remove, "204",
      "Remove a person and all that is kept of them")
ROUTE(GET, "/api/people/{person}/export", PERSON, THEW_ACT_EXPORT_PERSON, NULL, "", thew_people_export, "200 application/zip",
      "All that is kept of a person")
ROUTE(POST, "/api/people/{person}/screening", PERSON, THEW_ACT_SCREEN, &thew_body_screening, "", thew_screening_answer,
      "200 Screening", "Answer questions of the screening")

// --- advice and strength (advice.c)
ROUTE(GET, "/api/people/{person}/advice", PERSON, THEW_ACT_READ_ADVICE, NULL, "day", thew_advice_read, "200 PersonAdvice",
      "The next loads of a person's exercises")
ROUTE(POST, "/api/advice/{advice}/accept", LATER, THEW_ACT_DECIDE_ADVICE, &thew_body_empty, "", thew_advice_accept, "200 Advised",
      "Say yes to an advice")
ROUTE(POST, "/api/advice/{advice}/override", LATER, THEW_ACT_DECIDE_ADVICE, &thew_body_override, "", thew_advice_override,
      "200 Advised", "Take another load than advised, with a reason")
ROUTE(DELETE, "/api/advice/{advice}/answer", LATER, THEW_ACT_DECIDE_ADVICE, NULL, "", thew_advice_reopen, "200 Advised",
      "Take the answer to an advice back")
ROUTE(GET, "/api/people/{person}/strength", PERSON, THEW_ACT_READ_STRENGTH, NULL, "exercise side", thew_strength_read,
      "200 Strength", "Strength over months, with its interval")

// --- drawings (drawings.c)
ROUTE(GET, "/api/people/{person}/strength.svg", PERSON, THEW_ACT_READ_STRENGTH, NULL, "exercise side width", thew_strength_drawing,
      "200 image/svg+xml", "The strength plot")
ROUTE(GET, "/api/people/{person}/ladder.svg", PERSON, THEW_ACT_READ_ADVICE, NULL, "exercise side width day", thew_ladder_drawing,
      "200 image/svg+xml", "The ladder with its odds")
ROUTE(GET, "/api/set-line.svg", STUDIO, THEW_ACT_READ_CATALOGUE, NULL, "exercise variant ended seconds p10 p50 p90 width",
      thew_set_line_drawing, "200 image/svg+xml", "A set over time")
ROUTE(GET, "/api/figure.svg", STUDIO, THEW_ACT_READ_CATALOGUE, NULL, "variant implement width", thew_figure_drawing,
      "200 image/svg+xml", "Somebody doing an exercise")
ROUTE(GET, "/api/kit/{item}/curve.svg", LATER, THEW_ACT_READ_KIT, NULL, "width", thew_curve_drawing, "200 image/svg+xml",
      "A band's force curve")

// --- the diary (diary.c)
ROUTE(GET, "/api/people/{person}/sets", PERSON, THEW_ACT_READ_DIARY, NULL, "from until history", thew_sets_list, "200 SetRecord[]",
      "Sets, the newest day first")
ROUTE(POST, "/api/sets", LATER, THEW_ACT_RECORD, &thew_body_sets, "", thew_sets_add, "200 Kept",
      "Write sets into the diary: all or none")
ROUTE(GET, "/api/people/{person}/check-ins", PERSON, THEW_ACT_READ_CHECK_INS, NULL, "from until history", thew_check_ins_list,
      "200 CheckIn[]", "Check-ins")
ROUTE(POST, "/api/check-ins", LATER, THEW_ACT_CHECK_IN, &thew_body_check_ins, "", thew_check_ins_add, "200 KeptCheckIns",
      "Check in: all or none")
ROUTE(GET, "/api/people/{person}/outcomes", PERSON, THEW_ACT_READ_OUTCOMES, NULL, "from until history", thew_outcomes_list,
      "200 Outcome[]", "Outcome measures")
ROUTE(POST, "/api/outcomes", LATER, THEW_ACT_RECORD_OUTCOME, &thew_body_outcomes, "", thew_outcomes_add, "200 Kept",
      "Write outcome measures: all or none")

// --- training blocks (classes.c)
ROUTE(GET, "/api/people/{person}/blocks", PERSON, THEW_ACT_READ_BLOCKS, NULL, "", thew_blocks_list, "200 Block[]",
      "Training blocks")
ROUTE(POST, "/api/people/{person}/blocks", PERSON, THEW_ACT_PLAN_BLOCK, &thew_body_block, "", thew_blocks_add, "200 Block",
      "Keep a training block's next version")

// --- kit (kit.c)
ROUTE(GET, "/api/kit", LATER, THEW_ACT_READ_KIT, NULL, "person", thew_kit_list, "200 Item[]",
      "Kit: everybody's and a person's, or the whole studio's")
ROUTE(POST, "/api/kit", LATER, THEW_ACT_WRITE_KIT, &thew_body_item, "", thew_kit_add, "201 Item", "Add an item")
ROUTE(PUT, "/api/kit/{item}", LATER, THEW_ACT_WRITE_KIT, &thew_body_item, "", thew_kit_change, "200 Item",
      "Change or retire an item")
ROUTE(POST, "/api/kit/{item}/readings", LATER, THEW_ACT_MEASURE_KIT, &thew_body_readings, "", thew_kit_measure, "200 Item",
      "Add readings of a scale")
ROUTE(POST, "/api/curve", STUDIO, THEW_ACT_READ_CATALOGUE, &thew_body_curve, "", thew_curve_question, "200 Curve",
      "The curve of readings that are being typed; nothing is kept")

// --- classes (classes.c)
ROUTE(GET, "/api/classes", STUDIO, THEW_ACT_READ_CLASSES, NULL, "", thew_classes_list, "200 ClassBrief[]", "Every class")
ROUTE(GET, "/api/classes/{class}", STUDIO, THEW_ACT_READ_CLASSES, NULL, "", thew_classes_read, "200 Class",
      "A class's latest version")
ROUTE(POST, "/api/classes", STUDIO, THEW_ACT_WRITE_CLASSES, &thew_body_class, "", thew_classes_keep, "200 Class",
      "Keep a class's next version")
ROUTE(POST, "/api/compose", STUDIO, THEW_ACT_WRITE_CLASSES, &thew_body_wishes, "", thew_classes_compose, "200 Plan",
      "The best class for these wishes; nothing is kept")
ROUTE(POST, "/api/compose/check", STUDIO, THEW_ACT_WRITE_CLASSES, &thew_body_order, "", thew_classes_judge, "200 Plan",
      "What an order made by hand comes to")
ROUTE(GET, "/api/classes/{class}/fits", LATER, THEW_ACT_FIT_CLASS, NULL, "people day", thew_classes_fits, "200 Fits",
      "A class for each who takes part")

// --- in and out (exchange.c)
ROUTE(GET, "/api/export/people.csv", STUDIO, THEW_ACT_EXPORT_STUDIO, NULL, "", thew_export_table, "200 text/csv",
      "People, as thew advise reads them")
ROUTE(GET, "/api/export/kit.csv", STUDIO, THEW_ACT_EXPORT_STUDIO, NULL, "", thew_export_table, "200 text/csv", "Kit, likewise")
ROUTE(GET, "/api/export/diary.csv", STUDIO, THEW_ACT_EXPORT_STUDIO, NULL, "", thew_export_table, "200 text/csv",
      "The diary, likewise")
ROUTE(GET, "/api/export/days.csv", STUDIO, THEW_ACT_EXPORT_STUDIO, NULL, "", thew_export_table, "200 text/csv", "Days, likewise")
ROUTE(GET, "/api/export.zip", STUDIO, THEW_ACT_EXPORT_STUDIO, NULL, "", thew_export_all, "200 application/zip", "Everything")
ROUTE(POST, "/api/import", STUDIO, THEW_ACT_IMPORT, &thew_body_import, "", thew_import, "200 Imported",
      "Take files in, or say every fault in them")
