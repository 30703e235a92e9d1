/* One plate of the contact sheet: its pictures and its caption. Internal to sheet/. */
#ifndef TAPUL_SHEET_CONTACT_ENTRY_H
#define TAPUL_SHEET_CONTACT_ENTRY_H

#include "sheet/furniture.h"
#include "sheet/view.h"

/* From the front, from three-quarters, laid flat. */
#define TAPUL_CONTACT_PICTURES 3

typedef struct {
    const TapulGround *ground; /* borrowed */
    TapulView *view[2];
    TapulPath *edge; /* of the development */
} TapulContactEntry;

TapulContactEntry *tapul_contact_entry_new(const TapulGround *ground);
void tapul_contact_entry_free(TapulContactEntry *entry);

/* A picture's size in mm of the plate. */
TapulVec2 tapul_contact_entry_size_mm(const TapulContactEntry *entry, int picture);
/* Draws one with the middle of its lower edge at `at`, at scale (page mm for a plate mm). */
void tapul_contact_entry_draw(TapulPage *page, TapulContactEntry *entry, int picture,
                              TapulVec2 at, double scale);
/* Name, kind and size, source, from the top of `at` down; returns the y below, and with page
 * NULL only measures. */
double tapul_contact_entry_words(TapulPage *page, TapulVec2 at, double width_mm,
                                 const TapulContactEntry *entry, const TapulFormat *format);

#endif
