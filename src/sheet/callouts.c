#include "sheet/callouts.h"

gboolean tapul_callouts_place(const TapulCallout *calls, int n, TapulBox figure, TapulBox room,
                              double step_mm, TapulCalloutStand *stands) {
    (void)calls, (void)n, (void)figure, (void)room, (void)step_mm, (void)stands;
    return FALSE;
}

void tapul_callouts_draw(TapulPage *page, const TapulLeaf *leaf, const TapulCallout *calls,
                         const TapulCalloutStand *stands, int n, TapulBox room) {
    (void)page, (void)leaf, (void)calls, (void)stands, (void)n, (void)room;
}

void tapul_numbers_part(TapulCallout *calls, int n, double radius_mm, TapulBox within) {
    (void)calls, (void)n, (void)radius_mm, (void)within;
}

void tapul_number_draw(TapulPage *page, const TapulLeaf *leaf, TapulVec2 at_mm, int number) {
    (void)page, (void)leaf, (void)at_mm, (void)number;
}
