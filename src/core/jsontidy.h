/* JSON as a coach can read and change it: short lists and objects on one line. Internal. */
#ifndef SIXTURN_CORE_JSONTIDY_H
#define SIXTURN_CORE_JSONTIDY_H

#include <cjson/cJSON.h>

/* The text, with a line end after it; free it with free(). NULL when memory runs out. */
char *sx_json_print(const cJSON *item);

#endif
