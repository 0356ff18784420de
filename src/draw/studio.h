/* What the layouts of sheet, card and report are made with: the sheet, the scene, short names. */
#ifndef SIXTURN_DRAW_STUDIO_H
#define SIXTURN_DRAW_STUDIO_H

#include "draw/scene.h"
#include "sixturn/sheet.h"

typedef struct {
    const SxSheet *sheet;
    SxScene *scene;
    char *name[SX_MAX_PLAYERS]; /* short, unique in the team; by player index */
} SxStudio;

void sx_studio_init(SxStudio *studio, const SxSheet *sheet, SxScene *scene);
void sx_studio_free(SxStudio *studio);

#endif
