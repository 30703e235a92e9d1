/* The scene in the oval of the reed cartouche, forty-six millimetres wide, fifty-eight tall. */
#ifndef ENGRAVER_CARTOUCHE_SCENE_H
#define ENGRAVER_CARTOUCHE_SCENE_H

#include "form.h"

void cartouche_scene(Sheet *sheet, Point middle);

#endif
