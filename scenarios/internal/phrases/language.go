package phrases

import (
	"slices"
	"sync"

	"ullage/scenarios/internal/language"
)

// Language is the language of scenarios: every phrase, topic by topic, and every event. It is made once.
var Language = sync.OnceValue(func() *language.Vocabulary {
	return language.NewVocabulary(slices.Concat(
		sitePhrases, settingPhrases(), timePhrases, faultPhrases(),
		waterPhrases, levelOutcomes, flowOutcomes, pipeworkOutcomes,
		valveOutcomes, countOutcomes(), spacingOutcomes, surgeOutcomes, pumpOutcomes, backflowOutcomes,
		soilPhrases, networkPhrases, connectionPhrases, alertOutcomes, alertCounts, powerPhrases,
	), declaredEvents(), declaredTimings())
})
