#pragma once
/// Every plain-English line that a face shows, one function a subject.

#include "daemon/words/ask_text.hpp"
#include "daemon/words/event_text.hpp"
#include "daemon/words/finding_text.hpp"
#include "daemon/words/fit_text.hpp"
#include "daemon/words/phase_text.hpp"
#include "daemon/words/refusal_text.hpp"
#include "daemon/words/silence_text.hpp"
#include "daemon/words/target_text.hpp"
#include "daemon/words/trip_text.hpp"
#include "daemon/words/verdict_text.hpp"
