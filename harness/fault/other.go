package fault

// otherBusiness is what people write about that is no fault of a site: where a complaint is most like one of these,
// nothing of the catalogue fits.
var otherBusiness = [][]string{
	{"I was charged twice for the yearly plan and want a refund.", "The invoice is wrong.",
		"How do I cancel my subscription?", "Nobody answers the billing mail.", "My card was declined, the payment failed.",
		"I want my money back.", "What does the premium plan cost?", "The VAT number is missing on the receipt.",
		"Please delete my account and my data.", "You took the money from my bank account."},
	{"My order has not arrived, where is the parcel?", "The tracking says with the carrier.", "The delivery is late.",
		"It was lost in the post.", "The box arrived damaged in transport.", "I ordered two and got one.",
		"When is it back in stock?", "I want to send it back, where is the return label?", "You shipped the wrong colour.",
		"Do you ship abroad?", "The courier left it with the neighbours."},
	{"Do you do a discount for schools or clubs?", "Where can I buy a spare part or a second one?", "What does it cost?",
		"How long is the warranty or guarantee?", "Is there a version for larger gardens?", "Can I become a dealer?",
		"Do you offer installation?", "Is it compatible with my voice assistant?", "Could you send me a catalogue or a quote?"},
	{"Could you send me a new manual or booklet?", "The printed instructions are lost.", "The dog has chewed the lid.",
		"Is there a manual in another language?", "The sticker has come off.", "The colour of the housing has faded."},
	{"Something is eating the leaves, what should I spray?", "There is white powder mildew on the leaves.",
		"The tomatoes have blight.", "Slugs or aphids or caterpillars eat my plants.", "Which fertiliser should I use?",
		"When should I prune the roses or sow the carrots?", "There are moles and weeds and moss in the lawn.",
		"Which grass seed do you recommend?", "The apples have worms."},
	{"I do not like the colours of the app, can I have the old look back?", "The new design hurts my eyes.",
		"Can I have a dark mode?", "The font is too small.", "There should be a widget.", "How do I change the language?",
		"I have forgotten my login and cannot sign in.", "How do I share the app with my wife?",
		"Could you add a feature?", "The app has too much advertising."},
	{"Thank you for your help, it works very well.", "When are you open, may I have a telephone number?",
		"I would like to apply for a job.", "Can I visit your shop?", "Your colleague was rude on the phone."},
}
