#include "browser.h"

#include <check.h>
#include <errno.h>
#include <gio/gio.h>
#include <glib-unix.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <sys/prctl.h>
#include <unistd.h>

/* An answer takes milliseconds; the first, with the program's start, seconds. */
#define ANSWER_S 120

/* What the protocol hands the browser and takes from it. */
#define COMMANDS_FD 3
#define ANSWERS_FD  4

struct Browser {
    GSubprocess *process;
    int commands_fd, answers_fd;
    GByteArray *unread; /* a message begun, perhaps with others after it */
    int last_id;
    char *session;
    gboolean loaded; /* the page opened last */
    GPtrArray *complaints, *requests;
};

/* --- Messages --- */

static void send_all(const Browser *browser, const char *text, gsize length) {
    for (gsize sent = 0; sent < length;) {
        gssize now = write(browser->commands_fd, text + sent, length - sent);
        ck_assert_msg(now > 0 || errno == EINTR, "the browser has ended");
        sent += now > 0 ? (gsize)now : 0;
    }
}

/* More bytes of its answers; fails where none come. */
static void receive_some(Browser *browser) {
    guint8 bytes[65536];
    struct pollfd waiting = {.fd = browser->answers_fd, .events = POLLIN};
    ck_assert_msg(poll(&waiting, 1, ANSWER_S * 1000) == 1, "the browser does not answer");
    gssize n = read(browser->answers_fd, bytes, sizeof bytes);
    ck_assert_msg(n > 0, "the browser has ended");
    g_byte_array_append(browser->unread, bytes, (guint)n);
}

static JsonNode *next_message(Browser *browser) {
    g_autoptr(GError) error = NULL;
    const guint8 *end;
    guint searched = 0;
    while (!(end = browser->unread->len > searched ? memchr(browser->unread->data + searched, 0,
                                                            browser->unread->len - searched)
                                                   : NULL)) {
        searched = browser->unread->len;
        receive_some(browser);
    }
    JsonNode *message = json_from_string((const char *)browser->unread->data, &error);
    ck_assert_msg(message != NULL, "the browser's message is no JSON");
    g_byte_array_remove_range(browser->unread, 0, (guint)(end - browser->unread->data) + 1);
    return message;
}

static const char *text_at(JsonObject *object, const char *name, const char *inner) {
    JsonObject *held = json_object_has_member(object, name)
                           ? json_object_get_object_member(object, name)
                           : NULL;
    return held ? json_object_get_string_member_with_default(held, inner, "") : "";
}

static void note_event(Browser *browser, JsonObject *message) {
    const char *method = json_object_get_string_member_with_default(message, "method", "");
    JsonObject *told = json_object_has_member(message, "params")
                           ? json_object_get_object_member(message, "params")
                           : NULL;
    if (strcmp(method, "Page.loadEventFired") == 0) {
        browser->loaded = TRUE;
    } else if (strcmp(method, "Runtime.exceptionThrown") == 0) {
        g_ptr_array_add(browser->complaints,
                        g_strdup(text_at(told, "exceptionDetails", "text")));
    } else if (strcmp(method, "Runtime.consoleAPICalled") == 0) {
        g_ptr_array_add(browser->complaints,
                        g_strdup(json_object_get_string_member_with_default(told, "type", "")));
    } else if (strcmp(method, "Log.entryAdded") == 0) {
        g_ptr_array_add(browser->complaints, g_strdup(text_at(told, "entry", "text")));
    } else if (strcmp(method, "Network.requestWillBeSent") == 0) {
        const char *address = text_at(told, "request", "url");
        if (!g_str_has_prefix(address, "data:"))
            g_ptr_array_add(browser->requests, g_strdup(address));
    }
}

JsonNode *browser_call(Browser *browser, const char *method, const char *parameters) {
    int id = ++browser->last_id;
    g_autofree char *session = browser->session
                                   ? g_strdup_printf(",\"sessionId\":\"%s\"", browser->session)
                                   : g_strdup("");
    g_autofree char *text = g_strdup_printf("{\"id\":%d,\"method\":\"%s\",\"params\":%s%s}", id,
                                            method, parameters ? parameters : "{}", session);
    send_all(browser, text, strlen(text) + 1);
    for (;;) {
        g_autoptr(JsonNode) node = next_message(browser);
        JsonObject *message = json_node_get_object(node);
        if (json_object_get_int_member_with_default(message, "id", 0) != id) {
            note_event(browser, message);
            continue;
        }
        ck_assert_msg(!json_object_has_member(message, "error"), "%s: %s", method,
                      text_at(message, "error", "message"));
        return json_node_copy(json_object_get_member(message, "result"));
    }
}

static void command(Browser *browser, const char *method, const char *parameters) {
    g_autoptr(JsonNode) ignored = browser_call(browser, method, parameters);
}

static void command_format(Browser *browser, const char *method, const char *format, ...)
    G_GNUC_PRINTF(3, 4);

static void command_format(Browser *browser, const char *method, const char *format, ...) {
    va_list list;
    va_start(list, format);
    g_autofree char *parameters = g_strdup_vprintf(format, list);
    va_end(list);
    command(browser, method, parameters);
}

/* --- Start and end --- */

char *browser_program(void) {
    return g_find_program_in_path("chromium");
}

static void end_with_parent(gpointer data) {
    (void)data;
    prctl(PR_SET_PDEATHSIG, SIGKILL);
}

/* A page to work in; all commands go to it from then on. */
static void attach(Browser *browser) {
    g_autoptr(JsonNode) made =
        browser_call(browser, "Target.createTarget", "{\"url\":\"about:blank\"}");
    g_autofree char *parameters =
        g_strdup_printf("{\"targetId\":\"%s\",\"flatten\":true}",
                        json_object_get_string_member(json_node_get_object(made), "targetId"));
    g_autoptr(JsonNode) attached = browser_call(browser, "Target.attachToTarget", parameters);
    browser->session =
        g_strdup(json_object_get_string_member(json_node_get_object(attached), "sessionId"));
    command(browser, "Page.enable", NULL);
    command(browser, "Runtime.enable", NULL);
    command(browser, "Network.enable", NULL);
    command(browser, "Log.enable", NULL);
    command(browser, "Emulation.setTouchEmulationEnabled", "{\"enabled\":true}");
}

Browser *browser_start(const char *program, const char *folder, int width_px, int height_px) {
    int commands[2], answers[2];
    g_autoptr(GError) error = NULL;
    g_autofree char *data = g_strconcat("--user-data-dir=", folder, NULL);
    g_autoptr(GSubprocessLauncher) launcher = g_subprocess_launcher_new(
        G_SUBPROCESS_FLAGS_STDOUT_SILENCE | G_SUBPROCESS_FLAGS_STDERR_SILENCE);
    Browser *browser = g_new0(Browser, 1);
    signal(SIGPIPE, SIG_IGN);
    ck_assert(g_unix_open_pipe(commands, FD_CLOEXEC, NULL));
    ck_assert(g_unix_open_pipe(answers, FD_CLOEXEC, NULL));
    g_subprocess_launcher_take_fd(launcher, commands[0], COMMANDS_FD);
    g_subprocess_launcher_take_fd(launcher, answers[1], ANSWERS_FD);
    g_subprocess_launcher_set_child_setup(launcher, end_with_parent, NULL, NULL);
    browser->process = g_subprocess_launcher_spawn(
        launcher, &error, program, "--headless=new", "--no-sandbox", "--disable-gpu",
        "--disable-dev-shm-usage", "--no-first-run", "--disable-background-networking",
        "--remote-debugging-pipe", data, "about:blank", NULL);
    ck_assert_msg(browser->process != NULL, "%s", error ? error->message : "");
    browser->commands_fd = commands[1];
    browser->answers_fd = answers[0];
    browser->unread = g_byte_array_new();
    browser->complaints = g_ptr_array_new_with_free_func(g_free);
    browser->requests = g_ptr_array_new_with_free_func(g_free);
    /* The pipes' other ends are the browser's alone: were they open here too, its end would not
     * be noticed. */
    g_subprocess_launcher_close(launcher);
    attach(browser);
    browser_resize(browser, width_px, height_px);
    return browser;
}

void browser_stop(Browser *browser) {
    if (!browser)
        return;
    g_subprocess_force_exit(browser->process);
    g_subprocess_wait(browser->process, NULL, NULL);
    close(browser->commands_fd);
    close(browser->answers_fd);
    g_object_unref(browser->process);
    g_byte_array_unref(browser->unread);
    g_ptr_array_unref(browser->complaints);
    g_ptr_array_unref(browser->requests);
    g_free(browser->session);
    g_free(browser);
}

/* --- The page --- */

void browser_resize(Browser *browser, int width_px, int height_px) {
    command_format(browser, "Emulation.setDeviceMetricsOverride",
                   "{\"width\":%d,\"height\":%d,\"deviceScaleFactor\":1,\"mobile\":false}",
                   width_px, height_px);
}

void browser_set_medium(Browser *browser, const char *medium, const char *feature,
                        const char *value) {
    command_format(browser, "Emulation.setEmulatedMedia",
                   "{\"media\":\"%s\",\"features\":[{\"name\":\"%s\",\"value\":\"%s\"}]}",
                   medium, feature, value);
}

void browser_open(Browser *browser, const char *path) {
    g_autofree char *address = g_filename_to_uri(path, NULL, NULL);
    browser->loaded = FALSE;
    command_format(browser, "Page.navigate", "{\"url\":\"%s\"}", address);
    while (!browser->loaded) {
        g_autoptr(JsonNode) node = next_message(browser);
        note_event(browser, json_node_get_object(node));
    }
}

static JsonNode *evaluate(Browser *browser, const char *expression) {
    g_autoptr(JsonNode) text = json_node_init_string(json_node_alloc(), expression);
    g_autofree char *quoted = json_to_string(text, FALSE);
    g_autofree char *parameters = g_strdup_printf(
        "{\"expression\":%s,\"returnByValue\":true,\"awaitPromise\":true}", quoted);
    g_autoptr(JsonNode) node = browser_call(browser, "Runtime.evaluate", parameters);
    JsonObject *answer = json_node_get_object(node);
    ck_assert_msg(!json_object_has_member(answer, "exceptionDetails"), "%s: %s", expression,
                  text_at(answer, "result", "description"));
    JsonObject *result = json_object_get_object_member(answer, "result");
    ck_assert_msg(json_object_has_member(result, "value"), "%s has no value", expression);
    return json_node_copy(json_object_get_member(result, "value"));
}

char *browser_text(Browser *browser, const char *expression) {
    g_autoptr(JsonNode) value = evaluate(browser, expression);
    ck_assert_msg(json_node_get_value_type(value) == G_TYPE_STRING, "%s is no text",
                  expression);
    return json_node_dup_string(value);
}

double browser_number(Browser *browser, const char *expression) {
    g_autoptr(JsonNode) value = evaluate(browser, expression);
    ck_assert_msg(JSON_NODE_HOLDS_VALUE(value), "%s is no number", expression);
    return json_node_get_double(value);
}

gboolean browser_is(Browser *browser, const char *expression) {
    g_autoptr(JsonNode) value = evaluate(browser, expression);
    ck_assert_msg(json_node_get_value_type(value) == G_TYPE_BOOLEAN,
                  "%s is neither true nor false", expression);
    return json_node_get_boolean(value);
}

/* --- Hands --- */

void browser_press(Browser *browser, const char *key) {
    static const struct {
        const char *key, *text;
        int code;
    } keys[] = {
        {"Tab", "", 9},      {"Enter", "\\r", 13},   {"Escape", "", 27},
        {" ", " ", 32},      {"PageUp", "", 33},     {"PageDown", "", 34},
        {"End", "", 35},     {"Home", "", 36},       {"ArrowLeft", "", 37},
        {"ArrowUp", "", 38}, {"ArrowRight", "", 39}, {"ArrowDown", "", 40},
    };
    gboolean shift = g_str_has_prefix(key, "Shift+");
    const char *name = shift ? key + strlen("Shift+") : key;
    for (guint i = 0; i < G_N_ELEMENTS(keys); i++) {
        if (strcmp(keys[i].key, name) != 0)
            continue;
        command_format(browser, "Input.dispatchKeyEvent",
                       "{\"type\":\"%s\",\"key\":\"%s\",\"code\":\"%s\",\"text\":\"%s\","
                       "\"windowsVirtualKeyCode\":%d,\"modifiers\":%d}",
                       *keys[i].text ? "keyDown" : "rawKeyDown", name,
                       strcmp(name, " ") == 0 ? "Space" : name, keys[i].text, keys[i].code,
                       shift ? 8 : 0);
        command_format(browser, "Input.dispatchKeyEvent",
                       "{\"type\":\"keyUp\",\"key\":\"%s\",\"code\":\"%s\","
                       "\"windowsVirtualKeyCode\":%d}",
                       name, strcmp(name, " ") == 0 ? "Space" : name, keys[i].code);
        return;
    }
    ck_abort_msg("no key '%s'", key);
}

/* Of the window: a share of an element's width, and its middle's height, once it is in sight.
 */
static void place_of(Browser *browser, const char *selector, double share, double *x,
                     double *y) {
    g_autofree char *box =
        g_strdup_printf("(e=>{e.scrollIntoView({block:'center',behavior:'instant'});"
                        "return e.getBoundingClientRect()})(document.querySelector('%s'))",
                        selector);
    g_autofree char *across = g_strdup_printf("(b=>b.left+%g*b.width)(%s)", share, box);
    g_autofree char *down = g_strdup_printf("(b=>b.top+b.height/2)(%s)", box);
    *x = browser_number(browser, across);
    *y = browser_number(browser, down);
}

/* held: the left button is down while this is told; a click's last word lets it go. */
static void mouse(Browser *browser, const char *type, double x, double y, gboolean held) {
    command_format(browser, "Input.dispatchMouseEvent",
                   "{\"type\":\"%s\",\"x\":%.2f,\"y\":%.2f,\"button\":\"%s\",\"buttons\":%d,"
                   "\"clickCount\":%d}",
                   type, x, y, held ? "left" : "none", held ? 1 : 0, held ? 1 : 0);
}

void browser_point(Browser *browser, const char *selector) {
    double x, y;
    place_of(browser, selector, 0.5, &x, &y);
    mouse(browser, "mouseMoved", x, y, FALSE);
}

void browser_click(Browser *browser, const char *selector) {
    browser_drag(browser, selector, 0.5, 0.5);
}

void browser_drag(Browser *browser, const char *selector, double from, double to) {
    double x, y, end_x, end_y;
    place_of(browser, selector, from, &x, &y);
    place_of(browser, selector, to, &end_x, &end_y);
    mouse(browser, "mouseMoved", x, y, FALSE);
    mouse(browser, "mousePressed", x, y, TRUE);
    if (from != to)
        mouse(browser, "mouseMoved", end_x, end_y, TRUE);
    mouse(browser, "mouseReleased", end_x, end_y, TRUE);
}

void browser_tap(Browser *browser, const char *selector) {
    double x, y;
    place_of(browser, selector, 0.5, &x, &y);
    command_format(browser, "Input.dispatchTouchEvent",
                   "{\"type\":\"touchStart\",\"touchPoints\":[{\"x\":%.2f,\"y\":%.2f}]}", x, y);
    command(browser, "Input.dispatchTouchEvent", "{\"type\":\"touchEnd\",\"touchPoints\":[]}");
}

/* --- What came of it --- */

const GPtrArray *browser_complaints(const Browser *browser) {
    return browser->complaints;
}

const GPtrArray *browser_requests(const Browser *browser) {
    return browser->requests;
}

void browser_screenshot(Browser *browser, const char *path) {
    g_autoptr(JsonNode) node =
        browser_call(browser, "Page.captureScreenshot", "{\"captureBeyondViewport\":true}");
    gsize length;
    g_autofree guchar *bytes = g_base64_decode(
        json_object_get_string_member(json_node_get_object(node), "data"), &length);
    ck_assert(g_file_set_contents(path, (const char *)bytes, (gssize)length, NULL));
}
