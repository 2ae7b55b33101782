"""German."""

from __future__ import annotations

from mouldwright.documents.wording.words import QuoteWords

GERMAN = QuoteWords(
    locale="de_DE",
    quote="Angebot {number}",
    unnumbered="Preis, ohne Nummer",
    revision="Fassung {revision}, {day}",
    maker="Hersteller",
    tax_number="Steuernummer {number}",
    sheet="Blatt",
    open_until="Gültig bis",
    standing="gültig bis {day}",
    for_whom="Für {customer}",
    offer="{quantity} Stück für {net}",
    made_by="{title}, {process}.",
    each_before_tax="{each} je Stück, ohne Steuer.",
    ready="Fertig am {day}",
    odds="Diesen Tag halten wir bei {chance} von 100 solchen Aufträgen.",
    no_date="Ein Tag wird nicht zugesagt.",
    wanted="Gewünscht bis {day}.",
    amount="Betrag",
    item="{quantity} × {title} zu {each}",
    top_up="Bis zum kleinsten Auftrag, den wir annehmen",
    given_up="Begonnen und nicht mehr gewünscht",
    each_with_tax="{each} je Stück, mit Steuer.",
    discount="Nachlass, {rate} auf die Ware",
    discount_class="Nachlass für {who}, {rate} auf die Ware",
    discount_amount="Nachlass",
    rush="Eilzuschlag, {rate} auf die eilige Ware",
    further_delivery="Versand einer weiteren Lieferung",
    delivery="Lieferung {number}",
    tax_in="Darin Steuer, {rate}",
    with_tax="Mit Steuer",
    deliveries="Lieferung {number}: {quantity}, fertig am {day}.",
    delivery_undated="Lieferung {number}: {quantity}, ohne zugesagten Tag.",
    delivery_wanted="Gewünscht bis {day}.",
    rush_option="Eilen muss nur, was nötig ist: ohne Eile sind {ready} von {quantity} bis {day} "
    "fertig; jedes eilige Stück kostet {each} mehr.",
    as_priced="Andere Mengen gelten für Ware in einer Lieferung ohne Eile, vor jedem Nachlass.",
    pack="{quantity} Packungen zu {pack} × {title} zu {each}",
    shared="Mit gebuchter Arbeit geteiltes Rüsten",
    inverted="{quantity} kosten zusammen mehr als {instead}, die auf {amount} kommen.",
    spare="Ersatz: {title}, eine Packung zu {pack} einzeln bestellt, {each} je Stück, {goods}.",
    net="Netto",
    tax="Steuer, {rate}",
    by_line="je Zeile gerundet",
    to_pay="Zu zahlen",
    deposit="Anzahlung bei Bestellung, {rate}",
    on_delivery="Bei Lieferung",
    other_quantities="Andere Mengen",
    pieces="Stück",
    each="Je Stück",
    rises="Ab {quantity} kostet ein Stück mehr als bei {lower}, bis {until}: Eine weitere Form, "
    "Mischung oder Packung wird angefangen.",
    rises_without_end="Ab {quantity} kostet ein Stück mehr als bei {lower}: Eine weitere Form, "
    "Mischung oder Packung wird angefangen.",
    least_order="Der kleinste Auftrag, den wir annehmen, ist {net}.",
    rods="Stäbe: {count}, Durchmesser {sizes} mm",
    to_scale="maßstäblich",
    rests_on="Worauf es beruht",
    bends="{support}, {force} {load}: Zulässige Durchbiegung {allowed}.",
    expected="Wir rechnen mit höchstens {deflection} Durchbiegung und erwarten {mass} Masse.",
    expected_by_theory="Das ist gerechnet, nicht gemessen; gezählt wird auf {share} der "
    "gerechneten "
    "Steifigkeit.",
    expected_by_tests="Diese Durchbiegung halten neun von zehn Teilen ein, mit 95 % Sicherheit, "
    "nach {tests} Biegeproben; die Masse ist gerechnet.",
    expected_as_stated="Das folgt aus einem Modul, der für so gefertigte Teile angegeben ist.",
    as_drawn="Die Teile sind wie gezeichnet und oben verlangt; jede Änderung wird neu berechnet.",
    prices_hold="Die Preise gelten bis {day} für die genannte Menge.",
    day_is_from="Fertig heißt versandbereit. Der Tag ergab sich aus dem, was am {day} gebucht war, "
    "und wird bei der Bestellung noch einmal geprüft.",
    counted_from="Der Tag ist ab {day} gerechnet, wenn das heute fehlende Material da sein kann.",
    lacking_until="Der Tag setzt voraus, dass alles Material da ist; was heute fehlt, kann am "
    "{day} da sein.",
    lacking="Der Tag setzt voraus, dass alles Material da ist; heute fehlt davon etwas.",
    cautions_title="Vorsicht",
    section="Querschnitt an der Wurzel, maßstäblich, in mm. Spannweite {span}.",
    set_of="{count} × {title}, {process}",
    page="Seite {page} von {pages}",
    accept="Zum Annehmen zurückschreiben oder, falls gesandt, den Link benutzen.",
    accept_by_writing="Zum Annehmen zurückschreiben.",
    supports={
        "cantilever": "An der Wurzel eingespannt, Spitze frei",
        "simply supported": "An beiden Enden aufliegend",
        "both ends fixed": "An beiden Enden eingespannt",
        "elastic mounts": "Auf federnden Lagern",
    },
    loads={
        "end": "an der Spitze",
        "centre": "in der Mitte",
        "uniform": "verteilt über die Länge",
        "triangular": "verteilt, am meisten an der Wurzel",
    },
    bears_load="Dieses Teil trägt Last. Seine Steifigkeit ist gerechnet oder gemessen wie "
    "angegeben; "
    "Festigkeit, Dauerfestigkeit und Verhalten bei einem Stoß sind es nicht. Prüfen, bevor sich "
    "jemand darauf verlässt.",
    defer="Es gelten die Datenblätter und Sicherheitsdatenblätter der Hersteller, die örtlichen "
    "Vorschriften und der Rat zugelassener Fachleute, wo Gesetz oder Last ihn verlangen.",
    cautions={
        "fibre dust": "Faserstaub: an der Quelle absaugen, dicht sitzende Staubmaske, Handschuhe "
        "und Brille tragen; Kohlenstoffstaub leitet auch Strom.",
        "splinters": "Ausgehärtete Faser splittert und hat scharfe Kanten: Handschuhe, und die "
        "Kanten zuerst brechen.",
        "skin sensitiser": "Kann die Haut sensibilisieren: keine bloße Haut, kein Lösemittel auf "
        "der Haut; beim ersten Ausschlag aufhören.",
        "exotherm": "Gemischtes Harz erhitzt sich selbst: die größte Mischmenge einhalten, "
        "rechtzeitig "
        "aus dem Becher gießen, nie einen vollen Becher stehen lassen.",
        "isocyanate": "Isocyanat: lüften, von Menschen mit Asthma fernhalten; eine Schulung kann "
        "gesetzlich vorgeschrieben sein.",
        "corrosive": "Ätzend: Handschuhe und Augenschutz, Wasser bereithalten.",
    },
)
