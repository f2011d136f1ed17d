#include <stdint.h>

#include "cli/cli.h"
#include "cli/command_aside_bulk.h"
#include "cli/command_derived.h"
#include "cli/command_document.h"
#include "cli/command_doubt.h"
#include "cli/command_farm.h"
#include "cli/command_flags.h"
#include "cli/command_look.h"
#include "cli/command_mending.h"
#include "cli/command_month.h"
#include "cli/command_notices.h"
#include "cli/command_quality.h"
#include "cli/command_records.h"
#include "cli/command_serve.h"
#include "cli/command_visit.h"
#include "cli/command_words.h"
#include "cli/command_work_out.h"
#include "cli/command_works.h"

#define BY OPTION_BIT(OPTION_BY)
#define BECAUSE OPTION_BIT(OPTION_BECAUSE)
#define SECOND OPTION_BIT(OPTION_SECOND)
#define FITTING (OPTION_BIT(OPTION_SAYING) | OPTION_BIT(OPTION_FROM) | OPTION_BIT(OPTION_TO))
#define STRICT OPTION_BIT(OPTION_STRICT)
#define WHICH (OPTION_BIT(OPTION_SAMPLE) | OPTION_BIT(OPTION_MADE_BY))

const struct command commands[] = {
    {"farm check", "FILE", "say what is wrong in a farm file, with line and column",
     "Needs no database and changes nothing.", 0, NEEDS_UNITS, 1, 1, command_farm_check},
    {"farm load", "FILE", "make a farm from its farm file, or bring in a new version of it",
     "Says what changes. A limit that changed must say in the file whether the licence "
     "changed or it was copied wrongly. Earlier versions stay on record.",
     BY | OPTION_BIT(OPTION_DRY_RUN), NEEDS_DATABASE, 1, 1, command_farm_load},
    {"confirm", "[LIMIT...]", "a person compared limits with the licence and found them the same",
     "Without names: all that wait. Until then a limit can be outside, but never within. "
     "Where two people may correct, it is not the one who loaded the farm file.",
     BY | OPTION_BIT(OPTION_LIST), NEEDS_FARM, 0, SIZE_MAX, command_confirm},
    {"look", "FILE [ANSWER...]", "look at a file nobody has a source for, and write the source",
     "Says what it found and by what evidence, asks what the file does not tell, and shows the "
     "first values as they would be stored. An ANSWER is what was asked, = and what you say, as "
     "dates=day-first or \"column Turb=turbidity-ntu\". Changes nothing; works without a farm too.",
     STRICT | OPTION_BIT(OPTION_OUT), NEEDS_UNITS, 1, SIZE_MAX, command_look},
    {"take-in", "SOURCE FILE...", "take in files of readings or results",
     "SOURCE is a key from `sources:` in the farm file. The bytes are kept; rows that can't "
     "be accepted are set aside with a reason. The same file again changes nothing.",
     BY | STRICT, NEEDS_FARM, 2, SIZE_MAX, command_take_in},
    {"aside", "[WORD...]", "list what was set aside and waits for a person",
     "Each WORD is a source, file, reason, station or parameter, or lines as 12-400, and narrows "
     "the list; so do --saying, --from and --to. Of many those that are alike are told in one; "
     "--all and anything that narrows tell each.",
     STRICT | FITTING | OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, SIZE_MAX, command_aside},
    {"aside correct", "FILE LINE [COLUMN] WHAT RIGHT...",
     "type what is right in place of what could not be read",
     "WHAT is value, time, station, parameter, unit or sample, and RIGHT what belongs there, as "
     "`aside "
     "correct lab.csv 7 value 10.5`. The row is stored with the origin it has; what it said first "
     "stays on record. A figure that goes from outside to inside so needs a second person, or is "
     "printed on the first page of the report.",
     BY | BECAUSE | SECOND, NEEDS_FARM, 4, SIZE_MAX, command_aside_correct},
    {"aside compare", "FILE LINE [COLUMN]", "show values that contradict each other side by side",
     "With the file, place and person of each, and what to type for either choice.", 0, NEEDS_FARM,
     2, 3, command_aside_compare},
    {"aside accept", "FILE LINE [COLUMN]",
     "accept a value that contradicts a stored one, as its correction",
     "FILE, LINE and COLUMN are as `weirbook aside` lists them.", BY | BECAUSE | SECOND, NEEDS_FARM,
     2, 3, command_aside_accept},
    {"aside leave-out", "FILE LINE [COLUMN]", "leave a value that was set aside out for good",
     "It stays on record with the reason. What takes a figure from outside to inside so needs a "
     "second person, or is printed on the first page of the report.",
     BY | BECAUSE | SECOND, NEEDS_FARM, 2, 3, command_aside_leave_out},
    {"aside leave-out-all", "FILE [WORD...]",
     "leave all that was set aside of a file out, or what fits the words",
     "Words, --saying, --from and --to narrow it as with `weirbook aside`, which shows beforehand "
     "what fits. One reason for all of it; each row stays on record, counts as if it had been left "
     "out by itself, and can be put back.",
     BY | BECAUSE | SECOND | FITTING, NEEDS_FARM, 1, SIZE_MAX, command_aside_leave_out_all},
    {"aside put-back", "FILE [WORD...]", "let rows that were left out wait again",
     "All that was left out of the file, or what fits the words: lines as 12 or 12-400, a reason, "
     "station or parameter, --saying, --from and --to. Both stay on record.",
     BY | BECAUSE | FITTING, NEEDS_FARM, 1, SIZE_MAX, command_aside_put_back},
    {"aside read-again", "FILE", "read what was set aside of a file again, as the source is now",
     "For when the farm file has learnt a word or unit of the source. Rows that can be read "
     "now are stored; the others go on waiting. A figure that goes from outside to inside so "
     "needs a second person, or is printed on the first page of the report.",
     BY | SECOND, NEEDS_FARM, 1, 1, command_aside_read_again},
    {"aside rule", "SOURCE KIND WORD [MEANS]", "from now on a word of a source's files means this",
     "KIND is unit, parameter, station, state or blank (a word that means no value, without "
     "MEANS), as `aside rule lab unit mgl mg/L`. It stands beside the farm file, whose own words "
     "count first. Files of the source with rows that wait are read again at once. The same rule "
     "again with --second is how a second person agrees later.",
     BY | BECAUSE | SECOND, NEEDS_FARM, 3, 4, command_aside_rule},
    {"aside seen", "FILE [LINE [COLUMN]]",
     "a second person saw what one answered of rows set aside, and agrees",
     "--by is the second person. Without LINE: every row of the file that one person answered "
     "alone. To a rule, a correction or a withdrawn visit a second person agrees by the same "
     "command again with --second.",
     BY, NEEDS_FARM, 1, 3, command_aside_seen},
    {"aside withdraw", "SOURCE KIND WORD", "take back a rule about what a word means",
     "As `aside rules` lists it. The source reads so no more, and the word may get another "
     "meaning. What came in by it stays on record as it is; both stay in the ledger.",
     BY | BECAUSE, NEEDS_FARM, 3, 3, command_aside_withdraw},
    {"aside rules", "", "list what persons said that words of sources mean", NULL, 0, NEEDS_FARM, 0,
     0, command_aside_rules},
    {"correct", "STATION[/POSITION] PARAMETER TIME VALUE", "give a stored reading a new value",
     "TIME is that of the reading, as \"2026-03-17 09:30\", in the farm's own time. The first "
     "value stays on record. A correction that moves a figure from outside to inside needs a "
     "second person, or is printed on the first page of the report.",
     BY | BECAUSE | SECOND | WHICH | OPTION_BIT(OPTION_UNIT), NEEDS_FARM, 4, 4, command_correct},
    {"leave-out", "STATION[/POSITION] PARAMETER TIME", "a stored reading shall not count",
     "It stays on record, and every report lists it with the reason.",
     BY | BECAUSE | SECOND | WHICH, NEEDS_FARM, 3, 3, command_leave_out},
    {"put-back", "STATION[/POSITION] PARAMETER TIME", "a reading that was left out counts again",
     NULL, BY | BECAUSE | SECOND | WHICH, NEEDS_FARM, 3, 3, command_put_back},
    {"doubt", "", "list what persons marked as in doubt", NULL, 0, NEEDS_FARM, 0, 0, command_doubt},
    {"doubt set", "KIND STATION[/POSITION] PARAMETER FROM TO", "readings of a span are in doubt",
     "KIND is sensor test, calibration, drift, custody, holding time, temperature, preliminary, "
     "contradicted, no sample or other. FROM and TO are as \"2026-03-17 09:30\", in the farm's "
     "own time, and belong to the span. Without a position it is of every one. What is in doubt "
     "can stop a verdict and never clear one.",
     BY | BECAUSE | OPTION_BIT(OPTION_MADE_BY), NEEDS_FARM, 5, 5, command_doubt_set},
    {"doubt sample", "KIND SAMPLE", "a sample is in doubt, with all its results",
     "KIND is as for `doubt set`, SAMPLE the sample's number.", BY | BECAUSE, NEEDS_FARM, 2, 2,
     command_doubt_sample},
    {"doubt lift", "NUMBER", "what was marked is no longer in doubt",
     "NUMBER is as `weirbook doubt` lists it. The mark and its lifting stay on record.",
     BY | BECAUSE, NEEDS_FARM, 1, 1, command_doubt_lift},
    {"document keep", "FILE", "keep a certificate, notice, licence or photo byte for byte",
     "Under its SHA-256, tied with --about to what it proves. The same bytes again are not kept "
     "twice: they may be tied to more. At most 64 MB.",
     BY | OPTION_BIT(OPTION_KIND) | OPTION_BIT(OPTION_ABOUT), NEEDS_FARM, 1, 1,
     command_document_keep},
    {"document list", "", "list the documents that are kept and what they prove", NULL, 0,
     NEEDS_FARM, 0, 0, command_document_list},
    {"document show", "NUMBER", "write a document's bytes to a file, as they came in",
     "NUMBER is as `weirbook document list` lists it. Its SHA-256 is worked out again first.",
     OPTION_BIT(OPTION_OUT), NEEDS_FARM, 1, 1, command_document_show},
    {"result checked", "SAMPLE", "a person held a sample's results against its certificate",
     "SAMPLE is the sample's number, --document the certificate as `weirbook document list` "
     "numbers it. The results are recorded as they stand.",
     BY | OPTION_BIT(OPTION_DOCUMENT), NEEDS_FARM, 1, 1, command_result_checked},
    {"no-sample", "INTERVAL DAY", "say why there is no sample",
     "INTERVAL is a key from `intervals:` in the farm file, DAY one that it asked for.",
     BY | BECAUSE | OPTION_BIT(OPTION_REASON), NEEDS_FARM, 2, 2, command_no_sample},
    {"addition add", "STATION KIND AMOUNT TIME [UNTIL]",
     "write down what was put in: fertiliser, treatment, feed or medicine",
     "KIND is one of these four words, AMOUNT as \"25 kg\" or \"2.5 L\". TIME is as \"2026-03-17 "
     "09:30\", in the farm's own time; with UNTIL it took that long. Say with --withhold how long "
     "nothing may be harvested; 0 says that there is no such time.",
     BY | BECAUSE | OPTION_BIT(OPTION_WHAT) | OPTION_BIT(OPTION_NITROGEN) |
         OPTION_BIT(OPTION_PHOSPHORUS) | OPTION_BIT(OPTION_WITHHOLD) |
         OPTION_BIT(OPTION_INSTEAD_OF),
     NEEDS_FARM, 4, 5, command_addition_add},
    {"addition list", "[MONTH]", "list what was put in",
     "With its number, and what was corrected or taken back since when --all is given.",
     OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, 1, command_addition_list},
    {"addition take-back", "NUMBER", "what was written down as put in never was",
     "It stays on record with the reason. To correct one, write it down again with --instead-of.",
     BY | BECAUSE, NEEDS_FARM, 1, 1, command_addition_take_back},
    {"tanks", "[STATION] [MONTH]", "show how long water stays in each tank and pond",
     "Volume, plan area, flow, nominal residence time, exchanges a day, the time to replace 95 % "
     "of the water, and how a change at an intake reaches a discharge, by `tanks:` and `flow "
     "paths:` of the farm file. With positions `ring` and `centre`: the difference between them.",
     0, NEEDS_FARM, 0, 2, command_tanks},
    {"mixing-trial", "TANK PARAMETER FROM TO TENDS-TO",
     "work out how much of a tank's water takes part, from a trial with dye or salt",
     "FROM and TO are the trial's span, after the first mixing, as \"2026-03-17 09:30\". TENDS-TO "
     "is what the readings come near to: the background, the inflow's own value, 0 for dye.",
     0, NEEDS_FARM, 5, 5, command_mixing_trial},
    {"balance", "[MONTH]", "show the nitrogen, phosphorus and solids of a month",
     "Brought by water, added, left by discharge, kept: each with what it rests on, and not known "
     "where a part of it is not.",
     0, NEEDS_FARM, 0, 1, command_balance},
    {"feed", "[MONTH]", "show algae from the feed pond to each tank and out of it",
     "Cells, chlorophyll, turbidity, the share of particles below the farm's own size, and what "
     "was "
     "taken up between, for each thousand animals. In and out are the tank's positions `inlet` "
     "and `outlet`, else the feed pond and the station after the tank.",
     0, NEEDS_FARM, 0, 1, command_feed},
    {"energy", "[MONTH]", "show the hours that pumps ran, and their kWh",
     "By the pump's meter, else by rated power times hours, which is an estimate. For each "
     "thousand "
     "animals too.",
     0, NEEDS_FARM, 0, 1, command_energy},
    {"pump-stops", "TANK [MONTH]", "show how oxygen fell each time a tank's pump was off",
     "And from all stops that are not too old the time left to the farm's own floor, were the pump "
     "to stop now. It needs a probe on record as reading in still water. A record, not an alarm "
     "and not a switch.",
     0, NEEDS_FARM, 1, 2, command_pump_stops},
    {"check", "[MONTH]", "judge a month by the farm's limits and sampling intervals",
     "MONTH is as 2026-03. Without it: whatever changed is gone over, and the newest month "
     "with readings is shown.",
     STRICT | OPTION_BIT(OPTION_BRIEF), NEEDS_FARM, 0, 1, command_check},
    {"explain", "[LIMIT] [MONTH]", "show step by step how a limit was judged",
     "Without LIMIT: all of them. LIMIT may be the key of a sampling interval too: which samples "
     "were found, and what was due. Of a probe with many readings each day is told in one line, "
     "with its lowest and "
     "highest, and what is outside, in doubt, left out or corrected by itself. With --json: "
     "everything "
     "that the verdict rests on, to work it out again without this program.",
     OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, 2, command_explain},
    {"derived", "[STATION PARAMETER [MONTH]]",
     "show readings that are worked out from others, and from what",
     "Alone it lists what `derived:` in the farm file works out, by which equation. Of a station "
     "and parameter: each reading, what went in and from which file, and what is not given and "
     "why. Nothing of it is stored: a correction of what went in shows at once.",
     OPTION_BIT(OPTION_ALL) | OPTION_BIT(OPTION_FROM) | OPTION_BIT(OPTION_TO), NEEDS_FARM, 0, 3,
     command_derived},
    {"flags", "[STATION PARAMETER] [MONTH]", "list what sensor tests say of the probes' readings",
     "By `sensor tests:` of the farm file: gaps, values no sensor can read or nobody expects, "
     "spikes, steps, flat lines; each with its threshold. What is suspect or fails is in doubt. No "
     "test changes a value or leaves it out.",
     OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, 3, command_flags},
    {"quality", "[MONTH]",
     "list what duplicates, replicates and blanks came to, and laboratories' limits",
     "By what `quality checks:` of the farm file accepts. Beside them how fine the newest limits "
     "of "
     "laboratories are for the clauses in force.",
     0, NEEDS_FARM, 0, 1, command_quality},
    {"instruments", "", "list probes and field meters, with their last good check and what is due",
     "By `instruments:` of the farm file. What a check found off, or is overdue, puts readings in "
     "doubt until a person answers, or the next good check.",
     0, NEEDS_FARM, 0, 0, command_instruments},
    {"visit record", "FILE", "write down a visit to a probe or field meter",
     "FILE is a small YAML file with instrument, at, maintenance, note and readings; of each "
     "parameter before cleaning, after cleaning, meter, meter before, meter after, standards "
     "(standard, read, read after, name, lot, expires, temperature) and beside meter (probe, "
     "meter). README has an example.",
     BY, NEEDS_FARM, 1, 1, command_visit_record},
    {"visit check", "INSTRUMENT PARAMETER TIME STANDARD READ [AFTER]",
     "write down that a probe was checked in one standard",
     "READ is what the cleaned probe read in it, AFTER what it read once it was calibrated. TIME "
     "is "
     "as \"2026-03-17 09:30\", in the farm's own time.",
     BY | BECAUSE | OPTION_BIT(OPTION_UNIT) | OPTION_BIT(OPTION_WHAT) | OPTION_BIT(OPTION_LOT) |
         OPTION_BIT(OPTION_EXPIRES),
     NEEDS_FARM, 5, 6, command_visit_check},
    {"visit list", "[INSTRUMENT]", "list visits to probes and field meters",
     "With --all also those that were withdrawn.", OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, 1,
     command_visit_list},
    {"visit show", "NUMBER", "show what was read at a visit and what it came to", NULL, 0,
     NEEDS_FARM, 1, 1, command_visit_show},
    {"visit withdraw", "NUMBER", "a visit was written down wrongly, and nothing rests on it",
     "It stays on record with the reason. Later visits to the same instrument go first. Where "
     "another person may correct, --second names one.",
     BY | BECAUSE | SECOND, NEEDS_FARM, 1, 1, command_visit_withdraw},
    {"visit proposal", "NUMBER PARAMETER", "show the correction that a visit proposes",
     "With the errors at its end, some readings as they were read and as they would be, and every "
     "verdict that would change. Nothing is changed.",
     0, NEEDS_FARM, 2, 2, command_visit_proposal},
    {"visit answer", "NUMBER PARAMETER ANSWER", "say what becomes of readings a visit put in doubt",
     "ANSWER is corrected (the proposal is accepted), \"left out\", stands (the readings are "
     "right, "
     "for the reason told) or refused (the proposal is wrong, and the doubt stays). The newest one "
     "counts.",
     BY | BECAUSE | SECOND, NEEDS_FARM, 3, 3, command_visit_answer},
    {"report discharge", "[MONTH]", "write the monthly discharge workbook",
     "A draft, for a person to read and sign. Without --out it is written here, named after "
     "the farm and the month.",
     BY | STRICT | OPTION_BIT(OPTION_OUT) | OPTION_BIT(OPTION_LICENCE), NEEDS_FARM, 0, 1,
     command_report_discharge},
    {"look-round", "", "take in what lies in watched folders, and see what time brought",
     "Once, for a farm without the standing process: files in the folders that weirbook.conf "
     "names, months that wait, samples that were due, probes and folders that fell silent.",
     STRICT, NEEDS_NOTHING, 0, 0, command_look_round},
    {"serve", "", "run by itself: look round again and again until told to stop",
     "Every two seconds into watched folders, every minute at the time. SIGHUP makes it read "
     "weirbook.conf and the farm file again, SIGTERM stops it. It says what it does on stderr. "
     "It keeps records. It is not a life-support alarm.",
     OPTION_BIT(OPTION_UNIT_FILE), NEEDS_NOTHING, 0, 0, command_serve},
    {"status", "", "show what is on record and what waits", NULL, OPTION_BIT(OPTION_BRIEF),
     NEEDS_FARM, 0, 0, command_status},
    {"findings", "", "list what a person has to answer",
     "A limit outside, a sample missed, records of the discharge that disagree: one for each "
     "unbroken run, by kind, with what to do. What was found stays on record also when it is found "
     "no more: --all lists that too.",
     OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, 0, command_findings},
    {"notices", "", "list who was told of what, and what nobody has seen",
     "Of each finding, those whom `notices:` in the farm file names, in order. With --all also "
     "what was seen. Weirbook is not a life-support alarm.",
     OPTION_BIT(OPTION_ALL), NEEDS_FARM, 0, 0, command_notices},
    {"notices send", "", "send the notices that are due, once",
     "By the mail server and webhooks of weirbook.conf. What can't be sent now is tried again "
     "later; `weirbook serve` does this by itself.",
     STRICT, NEEDS_FARM, 0, 0, command_notices_send},
    {"seen", "NUMBER", "a person has seen a notice, and nobody else is told of it",
     "NUMBER is as the notice says, and as `weirbook notices` lists it. It answers nothing: the "
     "finding goes on waiting.",
     BY, NEEDS_FARM, 1, 1, command_seen},
    {"ledger check", "", "work out again whether the ledger is unbroken",
     "Every act's hash covers the one before. Compare the head with one that was kept "
     "elsewhere: on paper, in a workbook. Ends with 4 when it is broken.",
     0, NEEDS_FARM, 0, 0, command_ledger_check},
    {"words", "[TOPIC]", "list the words a farm file may use, out of the tables it is read by",
     "Without TOPIC: the topics. TOPIC may be any key of a farm file too, as less-thans. Needs no "
     "database.",
     0, NEEDS_NOTHING, 0, 6, command_words},
    {"work-out", "[QUANTITY [INPUT=VALUE...]]",
     "work out a quantity from figures at hand: salinity, oxygen, flow and more",
     "Without QUANTITY: all there are. With it alone: what it takes, by which equation, and where "
     "that holds. A number may have its unit behind it, as temperature=68 degF; a list has commas, "
     "as values=3.2,1.7 (put a list with < in quotes). Needs no farm and stores nothing.",
     OPTION_BIT(OPTION_UNIT), NEEDS_UNITS, 0, SIZE_MAX, command_work_out},
    {"database sql", "", "print what an administrator must run on a server of your own",
     "Needs no database: give the statements to whoever looks after the server.", 0, NEEDS_NOTHING,
     0, 0, command_database_sql},
    {"database prepare", "", "make roles and schema on the server at hand", NULL, 0, NEEDS_UNITS, 0,
     0, command_database_prepare},
};

const size_t command_count = sizeof(commands) / sizeof(commands[0]);
