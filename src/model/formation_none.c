/* No tables ready: for builds that cannot run the tool which computes them. */
#include "model/formation_ready.h"

const ReadyTable ready_tables[] = {{0, NULL}};
const int ready_table_count = 0;
