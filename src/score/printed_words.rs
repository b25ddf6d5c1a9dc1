//! The words the program prints of itself, in the language of a file.

use super::language::OwnLanguage;

/// What is printed of the program's own words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PrintedWords {
    /// Over the table of contents.
    pub contents: &'static str,
    /// Over the index of exercises.
    pub exercises: &'static str,
    /// Over the index of techniques.
    pub techniques: &'static str,
    /// Over the index of levels.
    pub levels: &'static str,
    /// Before the number of a level.
    pub level: &'static str,
    /// Before the tempo to be reached.
    pub goal: &'static str,
    /// Over the notation key.
    pub key: &'static str,
    /// Over the answers of a worksheet.
    pub answers: &'static str,
    /// Before the number of a page a reference leads to.
    pub on_page: &'static str,
    /// Beside the letters of the hands, where the feet have some too.
    pub hands: &'static str,
    /// Beside the letters of the feet.
    pub feet: &'static str,
}

/// English, which stands for every language that is not known.
static ENGLISH: PrintedWords = PrintedWords {
    contents: "Contents",
    exercises: "Index of exercises",
    techniques: "Index of techniques",
    levels: "Exercises by level",
    level: "Level",
    goal: "Goal",
    key: "Notation key",
    answers: "Answers",
    on_page: "on page",
    hands: "hands",
    feet: "feet",
};

static GERMAN: PrintedWords = PrintedWords {
    contents: "Inhalt",
    exercises: "Verzeichnis der Übungen",
    techniques: "Verzeichnis der Techniken",
    levels: "Übungen nach Stufen",
    level: "Stufe",
    goal: "Ziel",
    key: "Zeichenerklärung",
    answers: "Lösungen",
    on_page: "auf Seite",
    hands: "Hände",
    feet: "Füße",
};

static FRENCH: PrintedWords = PrintedWords {
    contents: "Table des matières",
    exercises: "Index des exercices",
    techniques: "Index des techniques",
    levels: "Exercices par niveau",
    level: "Niveau",
    goal: "Objectif",
    key: "Légende",
    answers: "Solutions",
    on_page: "à la page",
    hands: "mains",
    feet: "pieds",
};

static SPANISH: PrintedWords = PrintedWords {
    contents: "Índice",
    exercises: "Índice de ejercicios",
    techniques: "Índice de técnicas",
    levels: "Ejercicios por nivel",
    level: "Nivel",
    goal: "Meta",
    key: "Signos",
    answers: "Soluciones",
    on_page: "en la página",
    hands: "manos",
    feet: "pies",
};

static ITALIAN: PrintedWords = PrintedWords {
    contents: "Indice",
    exercises: "Indice degli esercizi",
    techniques: "Indice delle tecniche",
    levels: "Esercizi per livello",
    level: "Livello",
    goal: "Obiettivo",
    key: "Legenda",
    answers: "Soluzioni",
    on_page: "a pagina",
    hands: "mani",
    feet: "piedi",
};

static PORTUGUESE: PrintedWords = PrintedWords {
    contents: "Sumário",
    exercises: "Índice de exercícios",
    techniques: "Índice de técnicas",
    levels: "Exercícios por nível",
    level: "Nível",
    goal: "Meta",
    key: "Legenda",
    answers: "Soluções",
    on_page: "na página",
    hands: "mãos",
    feet: "pés",
};

static DUTCH: PrintedWords = PrintedWords {
    contents: "Inhoud",
    exercises: "Register van oefeningen",
    techniques: "Register van technieken",
    levels: "Oefeningen naar niveau",
    level: "Niveau",
    goal: "Doel",
    key: "Verklaring van tekens",
    answers: "Antwoorden",
    on_page: "op pagina",
    hands: "handen",
    feet: "voeten",
};

impl Default for &PrintedWords {
    fn default() -> Self {
        &ENGLISH
    }
}

impl PrintedWords {
    /// Those of a language tag (BCP 47).
    #[must_use]
    pub fn of(tag: Option<&str>) -> &'static Self {
        match OwnLanguage::of(tag) {
            OwnLanguage::English => &ENGLISH,
            OwnLanguage::German => &GERMAN,
            OwnLanguage::French => &FRENCH,
            OwnLanguage::Spanish => &SPANISH,
            OwnLanguage::Italian => &ITALIAN,
            OwnLanguage::Portuguese => &PORTUGUESE,
            OwnLanguage::Dutch => &DUTCH,
        }
    }
}
