// status.h: what every engine call that can be refused says about itself.
// One list holds code and sentence, so no code lacks a text. 0 is success, positive is success with news, negative is failure.
// Words for people in front of a screen are made outside the engine; these sentences are for the next engineer and for `thew`.
#ifndef THEW_STATUS_H
#define THEW_STATUS_H

#define THEW_STATUS_LIST(X)                                                                                       \
    X(THEW_OK, 0, "done")                                                                                         \
    X(THEW_BEYOND_CURVE, 1, "a length beyond 3.1 times the rest length was used: the band's curve is a guess there") \
    X(THEW_ONE_READING, 2, "only one reading: one coefficient was fitted, with a wide error")                      \
    X(THEW_SLACK, 3, "the band is slack over the whole range: it adds no resistance")                              \
    X(THEW_OUTSIDE_ENDURANCE, 4, "the load lies outside .2 to .8 of capacity, where the endurance curve is known") \
    X(THEW_DROPPED_OFFSET, 5, "no room for another rung's offset: the one used longest ago was let go")            \
    X(THEW_NOT_PROVEN, 6, "the search ended before the best was proven: the gap is stated")                       \
    X(THEW_NO_READING, -1, "at least one reading of length and force is needed")                                  \
    X(THEW_READING_NOT_POSITIVE, -2, "a reading's force must be above zero")                                      \
    X(THEW_READING_NOT_STRETCHED, -3, "a reading's length must be greater than the rest length")                  \
    X(THEW_REST_LENGTH_NOT_POSITIVE, -4, "the rest length must be above zero")                                    \
    X(THEW_NO_ROOM, -5, "the caller's memory is too small")                                                       \
    X(THEW_DATE_BEFORE_STATE, -6, "the record is older than the state: recompute from the diary")                  \
    X(THEW_NO_RUNG, -7, "the ladder is empty")                                                                    \
    X(THEW_UNKNOWN_EXERCISE, -8, "the exercise is not part of this state")                                        \
    X(THEW_NOT_FINITE, -9, "a number that is not finite was given")                                               \
    X(THEW_TOO_MANY, -10, "more exercises than a state holds")                                                     \
    X(THEW_NO_CLASS, -11, "what must be in the class does not fit its minutes, slots and order")

#define THEW_STATUS_ENUM(name, code, sentence) name = code,
typedef enum { THEW_STATUS_LIST(THEW_STATUS_ENUM) } thew_status;
#undef THEW_STATUS_ENUM

// A result that matters cannot be ignored.
#define THEW_MUST_USE __attribute__((warn_unused_result))

/// The sentence that belongs to a status; "unknown status" for a number that is none. Never NULL.
const char *thew_status_sentence(thew_status status);

#endif
