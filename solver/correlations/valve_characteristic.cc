#include "correlations/valve_characteristic.h"

#include <array>
#include <cmath>
#include <utility>

namespace handwheel {
namespace {

// Perry: local-loss table of R. H. Perry and D. W. Green, Perry's Chemical Engineers' Handbook:
// K fully open, 3/4, 1/2 and 1/4 open, or by angle; the relative coefficient is sqrt(K_full/K).
// Zappe: R. W. Zappe, Valve Selection Handbook. Below the least published opening a curve runs to
// zero; there it is a guess.

// Perry, diaphragm valve: K 2.3, 2.6, 4.3, 21.
constexpr std::array<CharacteristicPoint, 5> kWeir{
    {{0.0, 0.0}, {0.25, 0.3309}, {0.5, 0.7314}, {0.75, 0.9405}, {1.0, 1.0}}};

// Common practice, no source; trust to 0.12.
constexpr std::array<CharacteristicPoint, 11> kStraightThrough{{{0.0, 0.0},
                                                                {0.1, 0.08},
                                                                {0.2, 0.19},
                                                                {0.25, 0.25},
                                                                {0.3, 0.31},
                                                                {0.4, 0.45},
                                                                {0.5, 0.59},
                                                                {0.6, 0.72},
                                                                {0.75, 0.87},
                                                                {0.9, 0.97},
                                                                {1.0, 1.0}}};

// From geometry: a round sleeve of constant perimeter squeezed between two bars to a gap of h bores
// keeps the area a = 2 h - h²; K = 0.2 + (1/(Cc a) - 1)², contraction Cc = 0.62 + 0.38 a³. Zappe
// says the same in words: hardly any control before the sleeve is half pinched.
constexpr std::array<CharacteristicPoint, 13> kPinch{{{0.0, 0.0},
                                                      {0.05, 0.0288},
                                                      {0.1, 0.0599},
                                                      {0.2, 0.1321},
                                                      {0.3, 0.2263},
                                                      {0.4, 0.3567},
                                                      {0.5, 0.5337},
                                                      {0.6, 0.7384},
                                                      {0.7, 0.9033},
                                                      {0.75, 0.9524},
                                                      {0.8, 0.9806},
                                                      {0.9, 0.9988},
                                                      {1.0, 1.0}}};

// Perry, gate valve: K 0.17, 0.9, 4.5, 24. Other published tables differ by a factor up to 4 in K.
constexpr std::array<CharacteristicPoint, 5> kGate{
    {{0.0, 0.0}, {0.25, 0.0842}, {0.5, 0.1944}, {0.75, 0.4346}, {1.0, 1.0}}};

// Perry, globe valve with plug disc: K 9.0, 13, 36, 112.
constexpr std::array<CharacteristicPoint, 5> kGlobe{
    {{0.0, 0.0}, {0.25, 0.2835}, {0.5, 0.5}, {0.75, 0.8321}, {1.0, 1.0}}};

// Perry, plug cock turned by 60, 40, 20, 10 and 5 of 90 degrees: K 206, 17.3, 1.56, 0.29, 0.05, the
// last taken as fully open.
constexpr std::array<CharacteristicPoint, 7> kQuarterTurnPlug{{{0.0, 0.0},
                                                               {30.0 / 90.0, 0.0156},
                                                               {50.0 / 90.0, 0.0538},
                                                               {70.0 / 90.0, 0.1790},
                                                               {80.0 / 90.0, 0.4152},
                                                               {85.0 / 90.0, 1.0},
                                                               {1.0, 1.0}}};

// Perry, butterfly turned by 60, 40, 20, 10 and 5 of 90 degrees: K 118, 10.8, 1.54, 0.52, 0.24;
// fully open 0.2 assumed.
constexpr std::array<CharacteristicPoint, 7> kButterfly{{{0.0, 0.0},
                                                         {30.0 / 90.0, 0.0412},
                                                         {50.0 / 90.0, 0.1361},
                                                         {70.0 / 90.0, 0.3604},
                                                         {80.0 / 90.0, 0.6202},
                                                         {85.0 / 90.0, 0.9129},
                                                         {1.0, 1.0}}};

constexpr std::array<CharacteristicPoint, 2> kLinear{{{0.0, 0.0}, {1.0, 1.0}}};

// Equal percentage with a rangeability of 50 (30 to 50 are usual): 50^(h-1) from h = 0.05 up, and
// from there to zero at shut, where the law itself would leave 2 %.
constexpr std::array<CharacteristicPoint, 21> kEqualPercentage{
    {{0.0, 0.0},       {0.05, 0.024321}, {0.1, 0.029575},  {0.15, 0.035965}, {0.2, 0.043734},
     {0.25, 0.053183}, {0.3, 0.064673},  {0.35, 0.078645}, {0.4, 0.095635},  {0.45, 0.116296},
     {0.5, 0.141421},  {0.55, 0.171974}, {0.6, 0.209128},  {0.65, 0.254308}, {0.7, 0.309249},
     {0.75, 0.376060}, {0.8, 0.457305},  {0.85, 0.556102}, {0.9, 0.676243},  {0.95, 0.822340},
     {1.0, 1.0}}};

using enum Trust;

constexpr Source kIecGlobe{
    kFromMemory,
    "IEC 60534-2-1, globe valve, contoured plug, flow to open (to close FL 0.80, Fd 1.00)"};
constexpr Source kIdealLinear{kDerived, "the ideal law: coefficient in proportion to travel"};
constexpr Source kIdealEqualPercentage{
    kDerived, "the ideal law 50^(h - 1) from h = 0.05, and from there to zero at shut"};
constexpr Cited kByLead{0.0, {kCommonPractice, "travel over the lead of the stem; trust to 50 %"}};
constexpr Cited kLever{0.25, {kSeen, "DOE-HDBK-1018/2-93: a lever, 90 degrees"}};
constexpr Cited kNoTravel{0.0, {kDerived, "a quarter turn: nothing rises"}};

constexpr std::array kValveKinds = std::to_array<ValveKind>({
    {
        .name = "diaphragm weir",
        .what_it_is = "A rubber or PTFE-faced diaphragm is pressed on a raised weir across the "
                      "body; it is seat, stem seal and bonnet joint at once, and nothing but "
                      "lining and diaphragm touches the liquid.",
        .when_not_to_use = "Not above the diaphragm's temperature (rubber works best below 66 "
                           "degC) or pressure, not for dense abrasive slurry; a cut diaphragm "
                           "passes at the seat and leaks at stem and bonnet. In horizontal pipe "
                           "tilt the stem to about 15 degrees off horizontal if it must drain.",
        .full_open_k = 2.3,
        .full_open_k_source = {kSeen,
                               "Perry's Chemical Engineers' Handbook, local-loss table; Zappe's "
                               "Valve Selection Handbook has 2.0 to 3.5 (from memory)"},
        .characteristic = kWeir,
        .characteristic_source =
            {kSeen,
             "Perry, diaphragm valve: K 2.3, 2.6, 4.3, 21 fully, 3/4, 1/2 and 1/4 open; one "
             "maker's half-open value gives K 2.6 to 3.4. Below 1/4 a guess"},
        .recovery_fully_open = {0.75,
                                {kCommonPractice,
                                 "0.70 to 0.85; not in the table of IEC 60534-2-1"}},
        .recovery_nearly_shut = {0.85, {kCommonPractice, "rises as the valve closes; +-0.1"}},
        .style_modifier = {0.85, {kCommonPractice, "0.7 to 1.0"}},
        .quarter_turn = false,
        .travel_over_bore = {0.4, {kCommonPractice, "0.35 to 0.5 DN"}},
        .turns_of_any_size = kByLead,
        .turndown = {15, {kCommonPractice, "10 to 20"}},
        .least_throttle = {0.2,
                           {kCommonPractice,
                            "below it the diaphragm rests on part of the weir and wears there"}},
        .throttling = {true,
                       {kSeen,
                        "DOE-HDBK-1018/2-93: the better throttler of the diaphragm valves, over a "
                        "limited range; quick opening"}},
        .solids = {true,
                   {kSeen,
                    "Facility Piping Systems Handbook: seals on the weir even over some solids"}},
        .slurry = {false, {kCommonPractice, "solids settle before the weir and wear it"}},
        .vacuum = {true,
                   {kSeen,
                    "DOE-HDBK-1018/2-93: to NPS 4; larger ones need a sealed, evacuated bonnet, "
                    "and some makers a reinforced diaphragm"}},
    },
    {
        .name = "diaphragm straight-through",
        .what_it_is = "A deep, flexible diaphragm shuts against the bottom of a body without a "
                      "weir; the open bore is nearly clear and can be rodded.",
        .when_not_to_use =
            "Not for fine throttling, nor for vacuum without a reinforced diaphragm; the diaphragm "
            "flexes further than a weir type's and tires sooner.",
        .full_open_k = 0.75,
        .full_open_k_source =
            {kFromMemory, "the middle of Zappe's 0.6 to 0.9; tables of the fT method have 39 fT"},
        .characteristic = kStraightThrough,
        .characteristic_source = {kCommonPractice, "trust to 0.12"},
        .recovery_fully_open = {0.65,
                                {kCommonPractice,
                                 "0.60 to 0.75; not in the table of IEC 60534-2-1"}},
        .recovery_nearly_shut = {0.85, {kCommonPractice, "rises as the valve closes; +-0.1"}},
        .style_modifier = {0.95, {kCommonPractice, "0.9 to 1.0"}},
        .quarter_turn = false,
        .travel_over_bore = {0.9, {kCommonPractice, "0.8 to 1.0 DN"}},
        .turns_of_any_size = kByLead,
        .turndown = {10, {kCommonPractice, "about 10"}},
        .least_throttle = {0.3,
                           {kCommonPractice,
                            "below it most of the travel's effect falls in a few turns"}},
        .throttling = {false, {kSeen, "a diaphragm-valve maker: not suited to throttling"}},
        .solids = {true, {kCommonPractice, "nothing across the bore holds solids back"}},
        .slurry =
            {true,
             {kCommonPractice,
              "nothing across the bore holds solids back; a thick rubber lining wears slowly"}},
        .vacuum = {false,
                   {kCommonPractice,
                    "the large, soft diaphragm is drawn in; ask for a reinforced one"}},
    },
    {
        .name = "pinch enclosed body",
        .what_it_is =
            "A rubber sleeve in a closed casing is squeezed shut by a bar or by fluid pressure; "
            "only the sleeve touches the liquid, and the casing holds it if the sleeve bursts.",
        .when_not_to_use =
            "Not above 121 degC; pressure falls from 7 bar at NPS 1 to 1 bar at NPS 12 unless "
            "special. Never leave it nearly shut: the sleeve grooves. Where fluid pressure "
            "squeezes it, a change of line pressure resets the opening.",
        .full_open_k = 0.2,
        .full_open_k_source = {kCommonPractice, "0.1 to 0.3 on the sleeve's bore"},
        .characteristic = kPinch,
        .characteristic_source = {kDerived,
                                  "from the geometry of a round sleeve between two bars; agrees "
                                  "with Zappe, who sees hardly any control above half open"},
        .recovery_fully_open = {0.6, {kCommonPractice, "0.55 to 0.70 open"}},
        .recovery_nearly_shut = {0.85, {kCommonPractice, "rises as the sleeve is pinched; +-0.1"}},
        .style_modifier = {0.95, {kCommonPractice, "0.9 to 1.0"}},
        .quarter_turn = false,
        .travel_over_bore = {1.0, {kCommonPractice, "one bar: the whole bore"}},
        .turns_of_any_size = kByLead,
        .turndown = {9.5,
                     {kSeen,
                      "DOE-HDBK-1018/2-93 text: effective between 10 and 95 % of rated capacity"}},
        .least_throttle = {0.15,
                           {kDerived,
                            "below it under a tenth of its full flow passes, too little to control "
                            "(DOE-HDBK-1018/2-93)"}},
        .throttling =
            {true,
             {kSeen,
              "DOE-HDBK-1018/2-93 text: effective between 10 and 95 % of rated capacity; Zappe: "
              "hardly any control above half open, often set half pinched for control"}},
        .solids = {true, {kSeen, "DOE-HDBK-1018/2-93: a straight, clear sleeve made for solids"}},
        .slurry = {true,
                   {kSeen,
                    "DOE-HDBK-1018/2-93 and Zappe: for slurries; always close fully tight, or the "
                    "sleeve grooves"}},
        .vacuum = {true,
                   {kSeen,
                    "DOE-HDBK-1018/2-93: only with the casing evacuated to hold the sleeve open"}},
    },
    {
        .name = "pinch open frame",
        .what_it_is = "A rubber sleeve in an open frame is squeezed by two bars; bulges and soft "
                      "spots of the sleeve can be seen.",
        .when_not_to_use = "Not above 121 degC; pressure falls from 7 bar at NPS 1 to 1 bar at NPS "
                           "12 unless special. Never leave it nearly shut: the sleeve grooves. Not "
                           "under vacuum, nor where a burst sleeve cannot be tolerated.",
        .full_open_k = 0.2,
        .full_open_k_source = {kCommonPractice, "0.1 to 0.3 on the sleeve's bore"},
        .characteristic = kPinch,
        .characteristic_source = {kDerived,
                                  "from the geometry of a round sleeve between two bars; agrees "
                                  "with Zappe, who sees hardly any control above half open"},
        .recovery_fully_open = {0.6, {kCommonPractice, "0.55 to 0.70 open"}},
        .recovery_nearly_shut = {0.85, {kCommonPractice, "rises as the sleeve is pinched; +-0.1"}},
        .style_modifier = {0.95, {kCommonPractice, "0.9 to 1.0"}},
        .quarter_turn = false,
        .travel_over_bore = {0.5, {kCommonPractice, "two bars: half the bore each"}},
        .turns_of_any_size = kByLead,
        .turndown = {9.5,
                     {kSeen,
                      "DOE-HDBK-1018/2-93 text: effective between 10 and 95 % of rated capacity"}},
        .least_throttle = {0.15,
                           {kDerived,
                            "below it under a tenth of its full flow passes, too little to control "
                            "(DOE-HDBK-1018/2-93)"}},
        .throttling =
            {true,
             {kSeen,
              "DOE-HDBK-1018/2-93 text: effective between 10 and 95 % of rated capacity; Zappe: "
              "hardly any control above half open, often set half pinched for control"}},
        .solids = {true, {kSeen, "DOE-HDBK-1018/2-93: a straight, clear sleeve made for solids"}},
        .slurry = {true,
                   {kSeen,
                    "DOE-HDBK-1018/2-93 and Zappe: for slurries; always close fully tight, or the "
                    "sleeve grooves"}},
        .vacuum = {false,
                   {kSeen, "DOE-HDBK-1018/2-93: an exposed sleeve tends to collapse under vacuum"}},
    },
    {
        .name = "gate",
        .what_it_is =
            "A wedge or parallel disc slides across the bore and leaves it clear when open.",
        .when_not_to_use = "Not for throttling: the disc chatters and its seat is wire-drawn; not "
                           "with solids that pack the groove.",
        .full_open_k = 0.17,
        .full_open_k_source = {kSeen, "Perry, local-loss table; Zappe has 0.1 to 0.3"},
        .characteristic = kGate,
        .characteristic_source = {kSeen,
                                  "Perry, gate valve: K 0.17, 0.9, 4.5, 24; other tables differ by "
                                  "a factor up to 4 in K"},
        .recovery_fully_open = {0.7, {kCommonPractice, "+-0.1; not in the table of IEC 60534-2-1"}},
        .recovery_nearly_shut = {0.85, {kCommonPractice, "rises as the valve closes; +-0.1"}},
        .style_modifier = {0.95, {kCommonPractice, "one nearly round jet; +-0.1"}},
        .quarter_turn = false,
        .travel_over_bore = {1.0, {kCommonPractice, "the disc leaves the bore"}},
        .turns_of_any_size = kByLead,
        .turndown = {3, {kCommonPractice, "on or off"}},
        .least_throttle = {0.75,
                           {kCommonPractice, "below it the disc chatters and the seat erodes"}},
        .throttling = {false,
                       {kSeen, "Zappe: good control only close to the seat, and not used for it"}},
        .solids = {false, {kCommonPractice, "solids pack the groove under the wedge"}},
        .slurry = {false, {kCommonPractice, "solids pack the groove under the wedge"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "globe",
        .what_it_is =
            "A disc or plug lifts off a seat set across the flow, which turns twice in the body.",
        .when_not_to_use = "Not with solids or slurry, nor where its loss is too dear; not for "
                           "wide sizes at high drop (the stem takes the thrust).",
        .full_open_k = 6.0,
        .full_open_k_source =
            {kSeen, "Perry, bevel or composition seat (plug disc: 9.0); Zappe has 4 to 10"},
        .characteristic = kGlobe,
        .characteristic_source = {kSeen, "Perry, globe valve with plug disc: K 9.0, 13, 36, 112"},
        .recovery_fully_open = {0.9, kIecGlobe},
        .recovery_nearly_shut = {0.9, kIecGlobe},
        .style_modifier = {0.46, kIecGlobe},
        .quarter_turn = false,
        .travel_over_bore = {0.25,
                             {kDerived,
                              "a disc a quarter bore off its seat leaves the area of the bore"}},
        .turns_of_any_size = kByLead,
        .turndown = {20, {kCommonPractice, "10 to 30"}},
        .least_throttle = {0.1, {kCommonPractice, "below it the jet cuts the seat"}},
        .throttling = {true,
                       {kSeen, "Zappe and DOE-HDBK-1018/2-93: seat opening in proportion to lift"}},
        .solids = {false, {kCommonPractice, "solids lodge on the seat"}},
        .slurry = {false, {kCommonPractice, "solids lodge on the seat and the jet erodes it"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "angle",
        .what_it_is = "A globe valve whose outlet leaves square to its inlet; flow turns once.",
        .when_not_to_use =
            "Not with solids or slurry unless made for it; takes the place of an elbow.",
        .full_open_k = 3.0,
        .full_open_k_source = {kSeen, "Zappe: 2.0 to 5.0 cast, 1.5 to 3.0 forged"},
        .characteristic = kGlobe,
        .characteristic_source = {kCommonPractice, "as a globe valve with plug disc"},
        .recovery_fully_open =
            {0.9,
             {kFromMemory,
              "IEC 60534-2-1, angle valve, contoured plug, flow to open; to close 0.80"}},
        .recovery_nearly_shut =
            {0.9, {kFromMemory, "as fully open: a contoured plug recovers alike at every opening"}},
        .style_modifier =
            {0.46,
             {kFromMemory,
              "IEC 60534-2-1, angle valve, contoured plug, flow to open; to close 1.00"}},
        .quarter_turn = false,
        .travel_over_bore = {0.25, {kDerived, "as a globe valve"}},
        .turns_of_any_size = kByLead,
        .turndown = {20, {kCommonPractice, "as a globe valve"}},
        .least_throttle = {0.1, {kCommonPractice, "below it the jet cuts the seat"}},
        .throttling = {true, {kCommonPractice, "as a globe valve"}},
        .solids = {false, {kCommonPractice, "solids lodge on the seat"}},
        .slurry = {false, {kCommonPractice, "solids lodge on the seat and the jet erodes it"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "ball",
        .what_it_is = "A bored ball turns by 90 degrees between two seats; full bore when open.",
        .when_not_to_use = "Not for throttling (the jet cuts the soft seats), not with solids that "
                           "lodge round the ball, and not opened or shut fast in a long line.",
        .full_open_k = 0.05,
        .full_open_k_source =
            {kSeen,
             "full bore: university-text table of minor losses; Zappe has 0.1 (from memory)"},
        .characteristic = kQuarterTurnPlug,
        .characteristic_source =
            {kSeen,
             "Perry's plug cock by angle; a second table's ball (K 5.5 and 200 a third and two "
             "thirds shut) agrees within 20 % of the coefficient"},
        .recovery_fully_open = {0.69,
                                {kDerived,
                                 "through the 0.74 that IEC 60534-2-1 has for a full-bore ball at "
                                 "70 degrees (from memory)"}},
        .recovery_nearly_shut = {0.9, {kCommonPractice, "rises toward 0.9 as the ball closes"}},
        .style_modifier = {0.99, {kFromMemory, "IEC 60534-2-1, ball, full bore, 70 degrees"}},
        .quarter_turn = true,
        .travel_over_bore = kNoTravel,
        .turns_of_any_size = kLever,
        .turndown = {10, {kCommonPractice, "with a plain ball; characterised ports do better"}},
        .least_throttle = {0.3, {kCommonPractice, "below it the jet cuts the seats"}},
        .throttling = {false, {kSeen, "DOE-HDBK-1018/2-93: poor throttling"}},
        .solids = {false, {kCommonPractice, "solids lodge in the cavity round the ball"}},
        .slurry = {false,
                   {kCommonPractice, "solids lodge in the cavity round the ball and score it"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "butterfly",
        .what_it_is = "A disc turns by 90 degrees about a shaft across the bore and stays in the "
                      "stream when open.",
        .when_not_to_use = "Not with fibres that wrap the disc, nor cracked open for long: the jet "
                           "at the rim cavitates and cuts the seat.",
        .full_open_k = 0.2,
        .full_open_k_source = {kCommonPractice,
                               "assumed with Perry's curve; Zappe has 0.2 to 1.5 by thickness of "
                               "the disc (from memory), tests average 0.56"},
        .characteristic = kButterfly,
        .characteristic_source = {kSeen,
                                  "Perry, butterfly by angle: K 118, 10.8, 1.54, 0.52, 0.24 at 60 "
                                  "to 5 degrees from open"},
        .recovery_fully_open = {0.54,
                                {kDerived,
                                 "through the 0.62 that IEC 60534-2-1 has for a centred disc at 70 "
                                 "degrees (from memory)"}},
        .recovery_nearly_shut = {0.9, {kCommonPractice, "rises as the disc closes"}},
        .style_modifier = {0.57, {kFromMemory, "IEC 60534-2-1, centred disc, 70 degrees"}},
        .quarter_turn = true,
        .travel_over_bore = kNoTravel,
        .turns_of_any_size = kLever,
        .turndown = {20, {kCommonPractice, "between 20 and 70 degrees"}},
        .least_throttle = {0.22,
                           {kCommonPractice,
                            "below it (20 degrees) the jet at the rim cuts the seat"}},
        .throttling = {true, {kSeen, "Zappe: rotary valves control well over a restricted range"}},
        .solids = {true, {kCommonPractice, "light solids pass; fibres wrap the disc"}},
        .slurry = {false, {kCommonPractice, "the disc stands in the stream and wears"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "plug",
        .what_it_is =
            "A bored taper plug, often lined or sleeved, turns by 90 degrees in its body.",
        .when_not_to_use =
            "Not for fine throttling; a tight plug takes much force to turn after standing.",
        .full_open_k = 0.05,
        .full_open_k_source = {kSeen,
                               "Perry, plug cock 5 degrees from open; tables of the fT method have "
                               "18 fT (from memory)"},
        .characteristic = kQuarterTurnPlug,
        .characteristic_source = {kSeen,
                                  "Perry, plug cock by angle: K 206, 17.3, 1.56, 0.29, 0.05 at 60 "
                                  "to 5 degrees from open"},
        .recovery_fully_open = {0.69, {kCommonPractice, "as a ball valve, which it resembles"}},
        .recovery_nearly_shut = {0.9, {kCommonPractice, "as a ball valve, which it resembles"}},
        .style_modifier = {0.99, {kCommonPractice, "as a ball valve, which it resembles"}},
        .quarter_turn = true,
        .travel_over_bore = kNoTravel,
        .turns_of_any_size = kLever,
        .turndown = {10, {kCommonPractice, "as a ball valve, which it resembles"}},
        .least_throttle = {0.3, {kCommonPractice, "below it the jet cuts the sleeve"}},
        .throttling = {false, {kCommonPractice, "as a ball valve, which it resembles"}},
        .solids = {true,
                   {kCommonPractice,
                    "the plug has no cavity for solids to lodge in, and wipes its seat"}},
        .slurry = {false, {kCommonPractice, "solids score plug and sleeve"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "needle",
        .what_it_is =
            "A long taper point moves in a small seat by a fine thread: flow is set within a hair.",
        .when_not_to_use = "Only for clean liquid and small lines: the annulus blocks.",
        .full_open_k = 10.0,
        .full_open_k_source = {kCommonPractice,
                               "within Zappe's 5 to 13 of small forged globe valves"},
        .characteristic = kLinear,
        .characteristic_source = {kCommonPractice, "close to linear"},
        .recovery_fully_open = {0.95, {kCommonPractice, "as small tapered trims"}},
        .recovery_nearly_shut = {0.95, {kCommonPractice, "as small tapered trims"}},
        .style_modifier = {0.46, {kCommonPractice, "as a contoured plug"}},
        .quarter_turn = false,
        .travel_over_bore = {0.25, {kCommonPractice, "as a globe valve"}},
        .turns_of_any_size = {8, {kCommonPractice, "5 to 10 turns of a fine thread"}},
        .turndown = {30, {kCommonPractice, "20 to 50"}},
        .least_throttle = {0.05, {kCommonPractice, "below it dirt decides the flow"}},
        .throttling = {true, {kCommonPractice, "made for it"}},
        .solids = {false, {kCommonPractice, "the annulus blocks"}},
        .slurry = {false, {kCommonPractice, "the annulus blocks"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "control linear",
        .what_it_is = "A globe-pattern body with a contoured plug, set by an actuator or a "
                      "handwheel; the flow coefficient grows in proportion to travel.",
        .when_not_to_use = "Not with solids, fibres or slurry, nor as the only isolation.",
        .full_open_k = 6.0,
        .full_open_k_source = {kCommonPractice, "body as a globe valve"},
        .characteristic = kLinear,
        .characteristic_source = kIdealLinear,
        .recovery_fully_open = {0.9, kIecGlobe},
        .recovery_nearly_shut = {0.9, kIecGlobe},
        .style_modifier = {0.46, kIecGlobe},
        .quarter_turn = false,
        .travel_over_bore = {0.3, {kCommonPractice, "0.25 to 0.4 DN"}},
        .turns_of_any_size = kByLead,
        .turndown = {30, {kCommonPractice, "30 to 50 inherent; half of it installed"}},
        .least_throttle = {0.1, {kCommonPractice, "below it the plug works in its seat"}},
        .throttling = {true, {kCommonPractice, "made for it"}},
        .solids = {false, {kCommonPractice, "solids lodge in the trim"}},
        .slurry = {false, {kCommonPractice, "the trim erodes"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
    {
        .name = "control equal-percentage",
        .what_it_is =
            "A globe-pattern body with a contoured plug, set by an actuator or a handwheel; the "
            "flow coefficient grows by the same fraction with every step of travel.",
        .when_not_to_use = "Not with solids, fibres or slurry, nor as the only isolation.",
        .full_open_k = 6.0,
        .full_open_k_source = {kCommonPractice, "body as a globe valve"},
        .characteristic = kEqualPercentage,
        .characteristic_source = kIdealEqualPercentage,
        .recovery_fully_open = {0.9, kIecGlobe},
        .recovery_nearly_shut = {0.9, kIecGlobe},
        .style_modifier = {0.46, kIecGlobe},
        .quarter_turn = false,
        .travel_over_bore = {0.3, {kCommonPractice, "0.25 to 0.4 DN"}},
        .turns_of_any_size = kByLead,
        .turndown = {50, {kCommonPractice, "30 to 50 inherent; the curve has 50"}},
        .least_throttle = {0.1, {kCommonPractice, "below it the plug works in its seat"}},
        .throttling = {true, {kCommonPractice, "made for it"}},
        .solids = {false, {kCommonPractice, "solids lodge in the trim"}},
        .slurry = {false, {kCommonPractice, "the trim erodes"}},
        .vacuum = {true, {kCommonPractice, "a rigid body and a seat that vacuum cannot move"}},
    },
});

}  // namespace

const ValveKind* FindValveKind(std::string_view name) {
  for (const ValveKind& kind : kValveKinds) {
    if (kind.name == name) return &kind;
  }
  return nullptr;
}

std::vector<std::string> ValveKindNames() {
  std::vector<std::string> names;
  names.reserve(kValveKinds.size());
  for (const ValveKind& kind : kValveKinds) names.emplace_back(kind.name);
  return names;
}

MonotoneCubic RelativeCoefficient(const ValveKind& kind) {
  std::vector<double> opening;
  std::vector<double> coefficient;
  for (const CharacteristicPoint& point : kind.characteristic) {
    opening.push_back(point.opening);
    coefficient.push_back(point.relative_coefficient);
  }
  return MonotoneCubic(std::move(opening), std::move(coefficient));
}

MonotoneCubic EqualPercentage(double rangeability) {
  std::vector<double> opening = {0.0}, coefficient = {0.0};
  for (const CharacteristicPoint& point : kEqualPercentage) {
    if (point.opening == 0.0) continue;
    opening.push_back(point.opening);
    coefficient.push_back(std::pow(rangeability, point.opening - 1.0));
  }
  return MonotoneCubic(std::move(opening), std::move(coefficient));
}

double PressureRecovery(const ValveKind& kind, double opening) {
  const double nearly_shut = kind.recovery_nearly_shut.value;
  return nearly_shut + opening * (kind.recovery_fully_open.value - nearly_shut);
}

double StemTravel(const ValveKind& kind, double nominal_bore) {
  return kind.travel_over_bore.value * nominal_bore;
}

double StemLead(double nominal_bore) {
  return 0.002 + 0.03 * nominal_bore;
}

double HandwheelTurns(const ValveKind& kind, double nominal_bore) {
  if (kind.turns_of_any_size.value > 0.0) return kind.turns_of_any_size.value;
  return StemTravel(kind, nominal_bore) / StemLead(nominal_bore);
}

double DefaultLiningThickness(double nominal_bore) {
  // Half a millimetre of grace: DN 25 in metres is not 0.025 to the last bit.
  if (nominal_bore < 0.0255) return 0.002;
  if (nominal_bore < 0.2005) return 0.003;
  if (nominal_bore < 0.4005) return 0.0045;
  return 0.006;
}

}  // namespace handwheel
