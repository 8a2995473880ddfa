// draw_person.h: the drawings of one person or one piece of kit: strength over months, the ladder with its odds, a band's curve.
// Knows where they are asked from: a studio's file, or a coach's files. Leaves to others: what is drawn (draw/), from which numbers (studio/).
#ifndef THEW_CLI_DRAW_PERSON_H
#define THEW_CLI_DRAW_PERSON_H

/// As commands: argv[0] is "strength", "ladder", "curve".
int thew_draw_strength(int argc, char **argv);
int thew_draw_ladder(int argc, char **argv);
int thew_draw_curve(int argc, char **argv);

#endif
