// without.c: the table of pages of a program that is built without any (-Dweb=disabled).
#include "web/web_files.h"

const thew_web_file thew_web_files[] = { { .name = "" } };
const size_t thew_web_files_count = 0;
