/* Building JSON so that no failed allocation is lost. cJSON's own calls drop what they find no
 * memory for; these mark the place so that sx_put_print() gives no text then. Internal. */
#ifndef SIXTURN_CORE_JSONWRITE_H
#define SIXTURN_CORE_JSONWRITE_H

#include <cjson/cJSON.h>
#include <stdbool.h>

/* Each adds a member to an object and returns it; NULL when memory ran out. */
cJSON *sx_put_number(cJSON *object, const char *key, double value);
cJSON *sx_put_text(cJSON *object, const char *key, const char *value);
cJSON *sx_put_bool(cJSON *object, const char *key, bool value);
cJSON *sx_put_null(cJSON *object, const char *key);
cJSON *sx_put_object(cJSON *object, const char *key);
cJSON *sx_put_array(cJSON *object, const char *key);
/* Adds an empty object to a list. */
cJSON *sx_push_object(cJSON *list);
/* These take a finished item over (it may be gone afterwards); NULL is one for which there was no
 * memory. */
void sx_put(cJSON *object, const char *key, cJSON *item);
void sx_push(cJSON *list, cJSON *item);
/* Prints and frees the whole; the text is freed with cJSON_free(). NULL when memory ran out. */
char *sx_put_print(cJSON *root);

#endif
