/* A small watering controller that runs in lock-step with the harness over standard input and output. The upper half is
 * firmware as it could run on a microcontroller: loop() is called every 10 ms and sees terminals, settings and its
 * network session. The lower half reads and writes the lines of the protocol, which harness/link describes. C99. */
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MS INT64_C(1000000) /* moments and spans are nanoseconds */
#define S (1000 * MS)
#define MINUTE (60 * S)
enum { POLL_MS = 10, RETRY_S = 10, NAMES = 16, TERMINALS = 40, PROGRAMMES = 16, QUEUE = 40 };

typedef struct { char name[64]; bool normally_closed, low, on, wanted; } terminal_t;
static terminal_t terminals[TERMINALS];
static int terminal_count;

typedef struct { int of[NAMES], count; } list_t; /* terminals */
/* A contact counts as operated, or as released, when it has been so for a while. */
typedef struct { int terminal; int64_t operates_after, releases_after; bool operated, last; int64_t since; } contact_t;

/* ---- settings ---- */
static list_t outputs;
static bool has_fill, has_cut_off, has_interlock;
static list_t fills, shuts; /* valve and what goes with it; outputs that the cut-off shuts */
static contact_t low, high, spill;
static contact_t stops, keeps; /* low water, for a pump that runs and for one that rests */
static int pump, attempts, kept, programme_count;
static int64_t longest_run, fill_pause, restart_in, repeat_after, clock_start;
static struct {
    list_t outputs;
    bool day[7];
    int starts[NAMES], start_count; /* minutes since midnight */
    int64_t run, until;
} programmes[PROGRAMMES];

/* ---- flash: survives a loss of power ---- */
enum { TOO_LONG, LOCKED_OUT, SPILL, DRY_RUN, RESTARTED, ALERTS };
static const char *const alert_text[] = {"fill too long", "fill locked out", "spill", "dry run prevented", "restarted"};
static int boots, failed;
static int64_t quiet_until[ALERTS];
static uint64_t publishes;

/* ---- memory that a boot clears ---- */
static bool filling, cut, blocked, connected, connecting, connect_now;
static int queued;
static int64_t fill_began, fill_not_before, pump_not_before, connect_at, next_minute, next_poll;
static struct { int alert; uint64_t number; bool sent; } queue[QUEUE];

static bool reads_operated(const contact_t *c) {
    return c->terminal >= 0 && terminals[c->terminal].low != terminals[c->terminal].normally_closed;
}

static void watch(contact_t *c, int64_t now) {
    bool is = reads_operated(c);
    if (is != c->last) c->last = is, c->since = now;
    if (is != c->operated && now - c->since >= (is ? c->operates_after : c->releases_after)) c->operated = is;
}

static void want(const list_t *l, bool on) {
    for (int i = 0; i < l->count; i++) terminals[l->of[i]].wanted = on;
}

static void call(const list_t *l) { /* its zone is first; what is on with a zone follows it when the cut-off shuts it */
    for (int i = 0; cut && i < shuts.count; i++) if (shuts.of[i] == l->of[0]) return;
    want(l, true);
}

/* An alert waits in the queue until it is acknowledged; without a session only the newest few are kept. Its spacing
 * counts from when it goes out: one that a reset has taken from the queue must be raised again at the boot. */
static void alert(int which, int64_t now) {
    int room = connected || kept > QUEUE ? QUEUE : kept;
    if (now < quiet_until[which] || room == 0) return;
    for (int i = 0; i < queued; i++) if (queue[i].alert == which) return;
    if (queued >= room) memmove(queue, queue + 1, sizeof queue[0] * (size_t)--queued);
    queue[queued].alert = which, queue[queued].number = ++publishes, queue[queued].sent = false, queued++;
}

static void fill_rule(int64_t now) {
    bool full = high.terminal >= 0 ? high.operated : !low.operated;
    if (filling && full) {
        filling = false, failed = 0;
    } else if (filling && now - fill_began >= longest_run) {
        filling = false, fill_not_before = now + fill_pause;
        alert(TOO_LONG, now);
        if (++failed >= attempts) alert(LOCKED_OUT, now);
    } else if (!filling && low.operated && !full && failed < attempts && now >= fill_not_before) {
        filling = true, fill_began = now;
    }
    if (filling) call(&fills);
}

static void cut_off_rule(int64_t now) {
    if (spill.operated && !cut) alert(SPILL, now);
    cut = spill.operated;
}

static void interlock_rule(int64_t now) {
    bool runs = terminals[pump].on, dry = runs ? stops.operated : keeps.operated;
    bool block = terminals[pump].wanted && (dry || (!runs && now < pump_not_before));
    if (block && !blocked) alert(DRY_RUN, now);
    if (block && runs) pump_not_before = now + restart_in;
    if (block) terminals[pump].wanted = false;
    blocked = block;
}

static void programme_rule(int64_t now) {
    bool fresh = now >= next_minute; /* of the clock */
    int64_t minute = fresh ? (clock_start + now) / MINUTE : 0;
    if (fresh) next_minute = (minute + 1) * MINUTE - clock_start;
    for (int i = 0; i < programme_count; i++) {
        for (int k = 0; fresh && k < programmes[i].start_count; k++)
            if (programmes[i].day[minute / 1440 % 7] && programmes[i].starts[k] == minute % 1440)
                programmes[i].until = now + programmes[i].run;
        if (now < programmes[i].until) call(&programmes[i].outputs);
    }
}

static contact_t *const contacts[] = {&low, &high, &spill, &stops, &keeps};

static void boot(int64_t now) {
    for (int i = 0; i < 5; i++) contacts[i]->operated = contacts[i]->last = false, contacts[i]->since = now;
    for (int i = 0; i < terminal_count; i++) terminals[i].on = false;
    for (int i = 0; i < programme_count; i++) programmes[i].until = 0;
    filling = cut = blocked = connected = connecting = connect_now = false;
    queued = 0, fill_not_before = pump_not_before = 0, connect_at = next_poll = now;
    next_minute = (clock_start + now) / MINUTE * MINUTE + MINUTE - clock_start; /* what was missed stays so */
    if (++boots > 1) alert(RESTARTED, now);
}

static void loop(int64_t now) {
    for (int i = 0; i < 5; i++) watch(contacts[i], now);
    want(&outputs, false);
    if (has_cut_off) cut_off_rule(now);
    if (has_fill) fill_rule(now);
    programme_rule(now);
    if (cut) want(&shuts, false);
    if (has_interlock) interlock_rule(now);
    if (connecting && now >= connect_at + 3 * RETRY_S * S) connecting = false; /* nobody has answered */
    if (!connected && !connecting && now >= connect_at) connect_now = connecting = true, connect_at = now;
}

static void lost(int64_t retry) { /* what was not acknowledged goes out again, with its number */
    connected = connecting = false, connect_at = retry;
    for (int i = 0; i < queued; i++) queue[i].sent = false;
}

/* ---- reading JSON: a value is a pointer to its first character. Names must not contain escapes. ---- */
static const char *blank(const char *p) { return p + strspn(p, " \t\r\n,:"); }

static const char *skip(const char *p) { /* to behind a value */
    int depth = 0;
    do {
        p = blank(p);
        if (*p == '"') {
            for (p++; *p && *p != '"'; p++) if (*p == '\\' && p[1]) p++;
            p += *p == '"';
        } else if (*p == '{' || *p == '[') depth++, p++;
        else if (*p == '}' || *p == ']') depth--, p++;
        else p += strcspn(p, ",]} \t\r\n");
        p = depth ? blank(p) : p;
    } while (depth > 0 && *p);
    return p;
}

static bool is(const char *v, const char *text) {
    size_t n = strlen(text);
    return v && *v == '"' && strncmp(v + 1, text, n) == 0 && v[n + 1] == '"';
}

static const char *member(const char *object, const char *key) { /* NULL when it is not there */
    if (!object || *object != '{') return NULL;
    for (const char *p = blank(object + 1); *p == '"'; p = blank(skip(p))) {
        bool found = is(p, key);
        p = blank(skip(p));
        if (found) return p;
    }
    return NULL;
}

static const char *element(const char *array, const char *before) { /* first after NULL; NULL at the end */
    if (!array || *array != '[') return NULL;
    const char *p = blank(before ? skip(before) : array + 1);
    return *p && *p != ']' ? p : NULL;
}

static int64_t whole(const char *v) { return v ? strtoll(v, NULL, 10) : 0; }
static int64_t span(const char *v) { return v ? (int64_t)(strtod(v, NULL) * 1e9 + 0.5) : 0; }

static int find(const char *name) { /* -1 when there is none */
    if (!name) return -1;
    for (int i = 0; i < terminal_count; i++) if (is(name, terminals[i].name)) return i;
    return -1;
}

static void add(list_t *l, const char *name) {
    int i = find(name);
    if (i >= 0 && l->count < NAMES) l->of[l->count++] = i;
}

static void add_all(list_t *l, const char *names) {
    for (const char *e = NULL; (e = element(names, e));) add(l, e);
}

static contact_t contact(const char *name, int64_t operates_after, int64_t releases_after) {
    return (contact_t){.terminal = find(name), .operates_after = operates_after, .releases_after = releases_after};
}

/* ---- hello ---- */
static const char *const day_names[] = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};

static void read_programme(const char *p) {
    if (programme_count == PROGRAMMES) return;
    int n = programme_count++;
    add(&programmes[n].outputs, member(p, "zone")), add_all(&programmes[n].outputs, member(p, "with"));
    programmes[n].run = span(member(p, "run_s"));
    for (const char *e = NULL; (e = element(member(p, "starts"), e)) && programmes[n].start_count < NAMES;)
        programmes[n].starts[programmes[n].start_count++] = atoi(e + 1) * 60 + atoi(strchr(e, ':') + 1);
    const char *days = member(p, "days");
    for (int d = 0; d < 7; d++) {
        programmes[n].day[d] = !days;
        for (const char *e = NULL; (e = element(days, e));) programmes[n].day[d] |= is(e, day_names[d]);
    }
}

static void hello(const char *line) {
    for (const char *t = NULL; (t = element(member(line, "terminals"), t)) && terminal_count < TERMINALS;) {
        const char *name = member(t, "name");
        terminal_t *to = &terminals[terminal_count++];
        snprintf(to->name, sizeof to->name, "%.*s", (int)strcspn(name + 1, "\""), name + 1);
        to->normally_closed = is(member(t, "normal"), "closed");
        if (is(member(t, "kind"), "output")) add(&outputs, name);
    }
    const char *settings = member(member(line, "controller"), "settings");
    const char *clock = member(settings, "clock"), *fill = member(settings, "fill");
    const char *alerts = member(settings, "alerts");
    const char *cut_off = member(settings, "cut_off"), *interlock = member(settings, "interlock");
    int64_t debounce = fill ? span(member(fill, "debounce_s")) : 500 * MS;
    has_fill = fill, add(&fills, member(fill, "valve")), add_all(&fills, member(fill, "with"));
    low = contact(member(fill, "low"), debounce, debounce), high = contact(member(fill, "high"), debounce, debounce);
    longest_run = span(member(fill, "longest_run_s")), fill_pause = span(member(fill, "pause_s"));
    attempts = (int)whole(member(fill, "attempts"));
    has_cut_off = cut_off, spill = contact(member(cut_off, "contact"), 0, debounce);
    add_all(&shuts, member(cut_off, "shuts"));
    pump = find(member(interlock, "pump")), has_interlock = pump >= 0;
    stops = contact(member(interlock, "blocked_by"), span(member(interlock, "debounce_s")), 0);
    keeps = contact(member(interlock, "blocked_by"), 0, debounce);
    restart_in = span(member(interlock, "restart_in_s"));
    repeat_after = span(member(alerts, "repeat_after_s")), kept = (int)whole(member(alerts, "kept"));
    for (int d = 0; clock && d < 7; d++)
        if (strncmp(clock + 1, day_names[d], strlen(day_names[d])) == 0) {
            const char *time = clock + 1 + strlen(day_names[d]);
            clock_start = (d * INT64_C(1440) + atoi(time) * 60 + atoi(strchr(time, ':') + 1)) * MINUTE;
        }
    for (const char *e = NULL; (e = element(member(settings, "programmes"), e));) read_programme(e);
    printf("{\"name\":\"example in C\",\"can\":[\"fill rule\",\"longest run\",\"lock-out\",\"cut-off\",\"interlock\","
         "\"timed programme\",\"alerts\",\"alert spacing\",\"safe outputs at boot\",\"offline memory\",\"debounce\"],"
         "\"band\":65536,"); /* it reads no analogue terminal */
    double poll = POLL_MS / 1e3, settles = (double)debounce / S;
    printf("\"reacts\":{\"polls_s\":%g,\"acts_within_s\":%g,\"alerts_within_s\":%g,\"debounce\":{\"from_s\":%g,\"to_s\":%g},"
           "\"stagger_s\":0,\"back_off\":{\"least_s\":%d,\"most_s\":%d}}}\n",
           poll, poll, poll, settles, settles + poll, RETRY_S, RETRY_S);
}

/* ---- run ---- */
static void take(const char *line, int64_t from) {
    for (const char *e = NULL; (e = element(member(line, "in"), e));) {
        int i = find(member(e, "terminal"));
        if (i >= 0) terminals[i].low = is(member(e, "level"), "low");
    }
    for (const char *e = NULL; (e = element(member(line, "got"), e));) {
        const char *kind = member(e, "kind");
        if (is(kind, "connected")) connected = true, connecting = false;
        else if (is(kind, "refused") || is(kind, "lost")) lost(from + RETRY_S * S);
        else if (is(kind, "command") && is(member(e, "topic"), "start") && find(member(e, "text")) == fills.of[0])
            failed = 0, fill_not_before = 0; /* somebody resets the filling */
        for (int i = 0; is(kind, "acknowledged") && i < queued; i++)
            if ((int64_t)queue[i].number == whole(member(e, "number")))
                memmove(queue + i, queue + i + 1, sizeof queue[0] * (size_t)(--queued - i));
    }
}

static bool answer(int64_t now) { /* says what this poll did; false when it did nothing */
    const char *before = ",\"out\":[";
    bool did = false;
    for (int i = 0; i < outputs.count; i++) {
        terminal_t *t = &terminals[outputs.of[i]];
        if (t->wanted == t->on) continue;
        if (!did) printf("{\"at\":%lld", (long long)now);
        printf("%s{\"terminal\":\"%s\",\"on\":%s}", before, t->name, t->wanted ? "true" : "false");
        t->on = t->wanted, did = true, before = ",";
    }
    if (did) printf("]");
    before = ",\"send\":[";
    bool sends = connect_now;
    for (int i = 0; connected && i < queued; i++) sends |= !queue[i].sent;
    if (!sends) return did && (puts("}"), true);
    if (!did) printf("{\"at\":%lld", (long long)now);
    if (connect_now) printf("%s{\"kind\":\"connect\"}", before), before = ",";
    connect_now = false;
    for (int i = 0; connected && i < queued; i++) {
        if (queue[i].sent) continue;
        printf("%s{\"kind\":\"publish\",\"number\":%llu,\"topic\":\"alert\",\"text\":\"%s\"}", before,
               (unsigned long long)queue[i].number, alert_text[queue[i].alert]);
        queue[i].sent = true, before = ",";
        if (now >= quiet_until[queue[i].alert]) quiet_until[queue[i].alert] = now + repeat_after;
    }
    puts("]}");
    return true;
}

static void run(const char *line) {
    int64_t from = whole(member(line, "from")), to = whole(member(line, "to"));
    if (member(line, "boot")) boot(from);
    take(line, from);
    for (; next_poll < to;) {
        int64_t now = next_poll;
        next_poll += POLL_MS * MS;
        loop(now);
        if (answer(now)) return;
    }
    printf("{\"at\":%lld}\n", (long long)to);
}

int main(void) {
    static char line[1 << 16];
    while (fgets(line, sizeof line, stdin)) {
        if (!strchr(line, '\n')) return fputs("a line is too long\n", stderr), 1;
        if (is(member(line, "do"), "hello")) hello(line);
        else run(line);
        fflush(stdout);
    }
    return 0;
}
