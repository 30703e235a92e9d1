/* A real browser for tests: Debian's chromium without a window, spoken to through two pipes
 * (its remote debugging protocol, JSON messages that end with a NUL; no port is opened).
 *
 * All calls fail the test when the browser does not answer in time. It ends with
 * browser_stop(), or with the test's process if a check fails: a pipe that closes ends it, and
 * so does the signal that it asks for. */
#ifndef TAPUL_TESTS_BROWSER_H
#define TAPUL_TESTS_BROWSER_H

#include <glib.h>
#include <json-glib/json-glib.h>

typedef struct Browser Browser;

/* Where it is installed; NULL where it is not. */
char *browser_program(void);

/* A browser with one empty page, its files in a folder that is the caller's to remove. */
Browser *browser_start(const char *program, const char *folder, int width_px, int height_px);
void browser_stop(Browser *browser);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(Browser, browser_stop)

void browser_resize(Browser *browser, int width_px, int height_px);
/* A media feature as its readers would have set it ("prefers-reduced-motion", "reduce"), or the
 * medium ("print"); "" is the screen. */
void browser_set_medium(Browser *browser, const char *medium, const char *feature,
                        const char *value);
/* Opens a file and waits until it is loaded. */
void browser_open(Browser *browser, const char *path);

/* One command of the protocol, its parameters as JSON text; its result, owned. */
JsonNode *browser_call(Browser *browser, const char *method, const char *parameters);

/* What an expression of the page's script comes to; text is owned. */
char *browser_text(Browser *browser, const char *expression);
double browser_number(Browser *browser, const char *expression);
gboolean browser_is(Browser *browser, const char *expression);

/* A key pressed and let go: "Tab", "Shift+Tab", "Enter", "Escape", " ", "ArrowRight", ... */
void browser_press(Browser *browser, const char *key);
/* The pointer brought over the middle of the first element of a selector; a click there; a tap
 * with a finger. */
void browser_point(Browser *browser, const char *selector);
void browser_click(Browser *browser, const char *selector);
void browser_tap(Browser *browser, const char *selector);
/* Drags with the left button held from one share of the element's width to another. */
void browser_drag(Browser *browser, const char *selector, double from, double to);

/* What the console was told of errors and warnings, exceptions among them; what was asked for
 * over the network or of the disk, pictures in the file itself left out. Of char*, borrowed. */
const GPtrArray *browser_complaints(const Browser *browser);
const GPtrArray *browser_requests(const Browser *browser);

/* Writes what is seen as a PNG; for a person to look at. */
void browser_screenshot(Browser *browser, const char *path);

#endif
