/* No tables ready: for builds that cannot run the tool which computes them. */
#include "model/formation_ready.h"

const ReadyTable sx_ready_tables[] = {{0, NULL}};
const int sx_ready_table_count = 0;
