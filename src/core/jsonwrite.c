/* Building JSON so that no failed allocation is lost. */
#include "core/jsonwrite.h"

#include "core/numbers.h"

/* cJSON prints no text of a tree in which an item is invalid. */
static cJSON *marked(cJSON *parent, cJSON *item) {
    if (!item && parent) {
        parent->type = cJSON_Invalid;
    }
    return item;
}

cJSON *sx_put_number(cJSON *object, const char *key, double value) {
    return marked(object, cJSON_AddNumberToObject(object, key, value));
}

cJSON *sx_put_text(cJSON *object, const char *key, const char *value) {
    return marked(object, cJSON_AddStringToObject(object, key, value));
}

cJSON *sx_put_bool(cJSON *object, const char *key, bool value) {
    return marked(object, cJSON_AddBoolToObject(object, key, value));
}

cJSON *sx_put_null(cJSON *object, const char *key) {
    return marked(object, cJSON_AddNullToObject(object, key));
}

cJSON *sx_put_object(cJSON *object, const char *key) {
    return marked(object, cJSON_AddObjectToObject(object, key));
}

cJSON *sx_put_array(cJSON *object, const char *key) {
    return marked(object, cJSON_AddArrayToObject(object, key));
}

void sx_put(cJSON *object, const char *key, cJSON *item) {
    if (!item || !cJSON_AddItemToObject(object, key, item)) {
        cJSON_Delete(item);
        marked(object, NULL);
    }
}

void sx_push(cJSON *list, cJSON *item) {
    if (!item || !cJSON_AddItemToArray(list, item)) {
        cJSON_Delete(item);
        marked(list, NULL);
    }
}

cJSON *sx_push_object(cJSON *list) {
    cJSON *item = cJSON_CreateObject();
    if (item && !cJSON_AddItemToArray(list, item)) {
        cJSON_Delete(item);
        item = NULL;
    }
    return marked(list, item);
}

char *sx_put_print(cJSON *root) {
    SX_PLAIN_NUMBERS;
    char *text = root ? cJSON_Print(root) : NULL;
    cJSON_Delete(root);
    return text;
}
