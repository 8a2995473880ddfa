// stream.h: the stream of questions over any two files, so that tests and fuzzers can run it in memory.
#ifndef THEW_STREAM_H
#define THEW_STREAM_H

#include <stdio.h>

/// Answer every line of `from` on `to`, flushed, until its end.
///   returns   THEW_EXIT_OK if no line was refused, else THEW_EXIT_REFUSED; -1 with errno if an answer could not be written. Whether
///             `from` ended by an error is for the caller to ask (ferror).
int thew_stream_run(FILE *from, FILE *to);

#endif
