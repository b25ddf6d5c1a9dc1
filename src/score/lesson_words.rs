//! The words of lessons to hear and of pages that play them, in the language of a file.

use super::language::OwnLanguage;

/// What is said of a lesson, and on the buttons of its page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LessonWords {
    /// The lesson, where the file has no title.
    pub lesson: &'static str,
    /// All blocks in a row.
    pub recap: &'static str,
    /// The blocks in another order, to be told by ear.
    pub quiz: &'static str,
    /// What the quiz asks.
    pub answers: &'static str,
    /// Over the list of sound files.
    pub files: &'static str,
    /// A button that begins.
    pub play: &'static str,
    /// The same button while it sounds.
    pub stop: &'static str,
    /// A button that shows how a block goes, without sound; `{}` stands for what the block is called.
    pub show: &'static str,
    /// Again and again.
    pub repeat: &'static str,
    /// Clicks along.
    pub click: &'static str,
    /// Clicks before it.
    pub count_in: &'static str,
    /// Beats a minute.
    pub tempo: &'static str,
    /// The same with its unit, for who listens to the page.
    pub beats: &'static str,
    /// How to listen and play without harm.
    pub caution: &'static str,
    /// Where the browser can't make sound.
    pub silent: &'static str,
}

/// English, which stands for every language that is not known.
static ENGLISH: LessonWords = LessonWords {
    lesson: "Lesson",
    recap: "All in a row",
    quiz: "Quiz",
    answers: "Answers of the quiz",
    files: "Sound files",
    play: "Play",
    stop: "Stop",
    show: "Show how “{}” goes, without sound",
    repeat: "Loop",
    click: "Click",
    count_in: "Count-in",
    tempo: "Tempo",
    beats: "beats a minute",
    caution: "Keep headphones at a moderate level. Rest when a hand or an arm hurts, or your ears ring; \
        ask a doctor or a hearing specialist when it does not pass.",
    silent: "This browser can't play the sound.",
};

static GERMAN: LessonWords = LessonWords {
    lesson: "Lektion",
    recap: "Alles hintereinander",
    quiz: "Quiz",
    answers: "Lösungen des Quiz",
    files: "Tondateien",
    play: "Abspielen",
    stop: "Anhalten",
    show: "Zeigen, wie „{}“ geht, ohne Ton",
    repeat: "Schleife",
    click: "Klick",
    count_in: "Einzähler",
    tempo: "Tempo",
    beats: "Schläge in der Minute",
    caution: "Kopfhörer nicht zu laut stellen. Pause machen, wenn Hand oder Arm schmerzt oder die Ohren \
        klingen; vergeht es nicht, eine Ärztin oder eine Hörakustikerin fragen.",
    silent: "Dieser Browser kann den Ton nicht abspielen.",
};

static FRENCH: LessonWords = LessonWords {
    lesson: "Leçon",
    recap: "Tout à la suite",
    quiz: "Quiz",
    answers: "Solutions du quiz",
    files: "Fichiers audio",
    play: "Écouter",
    stop: "Arrêter",
    show: "Montrer comment se joue « {} », sans le son",
    repeat: "Boucle",
    click: "Clic",
    count_in: "Décompte",
    tempo: "Tempo",
    beats: "battements par minute",
    caution: "Gardez le casque à un niveau modéré. Reposez-vous si une main ou un bras fait mal ou si vos \
        oreilles sifflent ; si cela ne passe pas, consultez un médecin ou un audioprothésiste.",
    silent: "Ce navigateur ne peut pas jouer le son.",
};

static SPANISH: LessonWords = LessonWords {
    lesson: "Lección",
    recap: "Todo seguido",
    quiz: "Cuestionario",
    answers: "Soluciones del cuestionario",
    files: "Archivos de sonido",
    play: "Escuchar",
    stop: "Parar",
    show: "Mostrar cómo se toca «{}», sin sonido",
    repeat: "Bucle",
    click: "Clic",
    count_in: "Cuenta previa",
    tempo: "Tempo",
    beats: "pulsos por minuto",
    caution: "Use los auriculares a un volumen moderado. Descanse si le duele una mano o un brazo o si le \
        zumban los oídos; si no se pasa, consulte a un médico o a un audiólogo.",
    silent: "Este navegador no puede reproducir el sonido.",
};

static ITALIAN: LessonWords = LessonWords {
    lesson: "Lezione",
    recap: "Tutto di seguito",
    quiz: "Quiz",
    answers: "Soluzioni del quiz",
    files: "File audio",
    play: "Ascolta",
    stop: "Ferma",
    show: "Mostra come si suona «{}», senza suono",
    repeat: "Ripeti",
    click: "Clic",
    count_in: "Battute a vuoto",
    tempo: "Tempo",
    beats: "battiti al minuto",
    caution: "Tieni le cuffie a un volume moderato. Riposa se una mano o un braccio fa male o se le orecchie \
        fischiano; se non passa, chiedi a un medico o a un audioprotesista.",
    silent: "Questo browser non può riprodurre il suono.",
};

static PORTUGUESE: LessonWords = LessonWords {
    lesson: "Lição",
    recap: "Tudo em seguida",
    quiz: "Teste",
    answers: "Soluções do teste",
    files: "Arquivos de som",
    play: "Ouvir",
    stop: "Parar",
    show: "Mostrar como se toca “{}”, sem som",
    repeat: "Repetir",
    click: "Clique",
    count_in: "Contagem",
    tempo: "Andamento",
    beats: "batidas por minuto",
    caution: "Mantenha os fones num volume moderado. Descanse se uma mão ou um braço doer ou se os ouvidos \
        zumbirem; se não passar, procure um médico ou um audiologista.",
    silent: "Este navegador não consegue tocar o som.",
};

static DUTCH: LessonWords = LessonWords {
    lesson: "Les",
    recap: "Alles achter elkaar",
    quiz: "Quiz",
    answers: "Antwoorden van de quiz",
    files: "Geluidsbestanden",
    play: "Afspelen",
    stop: "Stoppen",
    show: "Laten zien hoe ‘{}’ gaat, zonder geluid",
    repeat: "Herhalen",
    click: "Klik",
    count_in: "Aftellen",
    tempo: "Tempo",
    beats: "tellen per minuut",
    caution: "Zet een koptelefoon niet te hard. Rust als een hand of een arm pijn doet of je oren suizen; \
        vraag een arts of een audicien om raad als het niet overgaat.",
    silent: "Deze browser kan het geluid niet afspelen.",
};

impl LessonWords {
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
