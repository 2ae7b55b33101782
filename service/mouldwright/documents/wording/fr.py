"""French."""

from __future__ import annotations

from mouldwright.documents.wording.words import QuoteWords

FRENCH = QuoteWords(
    locale="fr_FR",
    quote="Devis {number}",
    unnumbered="Prix, sans numéro",
    revision="Révision {revision}, {day}",
    maker="Fabricant",
    tax_number="Numéro fiscal {number}",
    sheet="Feuille",
    open_until="Valable jusqu’au",
    standing="valable jusqu’au {day}",
    for_whom="Pour {customer}",
    offer="{quantity} pièces pour {net}",
    made_by="{title}, {process}.",
    each_before_tax="{each} la pièce, hors taxe.",
    ready="Prêt le {day}",
    odds="Nous tenons ce jour pour {chance} commandes semblables sur 100.",
    no_date="Aucun jour n’est promis.",
    wanted="Souhaité pour le {day}.",
    amount="Montant",
    item="{quantity} × {title} à {each}",
    top_up="Jusqu’à la plus petite commande acceptée",
    given_up="Commencées et plus voulues",
    each_with_tax="{each} pièce, taxe comprise.",
    discount="Remise, {rate} sur les pièces",
    discount_class="Remise {who}, {rate} sur les pièces",
    discount_amount="Remise",
    rush="Urgence, {rate} sur ce qui est urgent",
    further_delivery="Port d’une livraison de plus",
    delivery="livraison {number}",
    tax_in="Dont taxe, {rate}",
    with_tax="Taxe comprise",
    deliveries="Livraison {number} : {quantity}, prête le {day}.",
    delivery_undated="Livraison {number} : {quantity}, sans date promise.",
    delivery_wanted="Souhaitée pour le {day}.",
    rush_option="Ne presser que le nécessaire : sans urgence, {ready} sur {quantity} sont prêtes "
    "le {day} ; chaque pièce pressée coûte {each} de plus.",
    as_priced="Les autres quantités s’entendent livrées en une fois, au rythme ordinaire, avant "
    "toute remise.",
    pack="{quantity} lots de {pack} × {title} à {each}",
    shared="Réglage partagé avec le travail réservé",
    inverted="{quantity} coûtent plus en tout que {instead}, qui reviennent à {amount}.",
    spare="Rechange : {title}, un lot de {pack} commandé seul à {each} pièce, {goods}.",
    net="Net",
    tax="Taxe, {rate}",
    by_line="arrondie par ligne",
    to_pay="À payer",
    deposit="Acompte à la commande, {rate}",
    on_delivery="À la livraison",
    other_quantities="Autres quantités",
    pieces="Pièces",
    each="La pièce",
    rises="À partir de {quantity} une pièce coûte plus que par {lower}, jusqu’à {until} : un "
    "moule, "
    "un mélange ou un paquet de plus est entamé.",
    rises_without_end="À partir de {quantity} une pièce coûte plus que par {lower} : un moule, un "
    "mélange ou un paquet de plus est entamé.",
    least_order="La plus petite commande acceptée est de {net}.",
    rods="Joncs : {count}, diamètre {sizes} mm",
    to_scale="à l’échelle",
    rests_on="Sur quoi cela repose",
    bends="{support}, {force} {load} : flèche admise {allowed}.",
    expected="Nous comptons sur une flèche d’au plus {deflection} et sur une masse de {mass}.",
    expected_by_theory="C’est calculé, non mesuré ; on compte sur {share} de la raideur calculée.",
    expected_by_tests="Neuf pièces sur dix tiennent cette flèche, à 95 % de confiance, d’après "
    "{tests} essais ; la masse est calculée.",
    expected_as_stated="Cela suit d’un module indiqué pour des pièces ainsi faites.",
    as_drawn="Les pièces sont comme dessinées et demandées ci-dessus ; tout changement est chiffré "
    "à nouveau.",
    prices_hold="Les prix tiennent jusqu’au {day} pour la quantité nommée.",
    day_is_from="Prêt veut dire prêt à expédier. Le jour résulte de ce qui était réservé le {day} "
    "et "
    "sera revu à la commande.",
    counted_from="Le jour est compté à partir du {day}, quand la matière qui manque "
    "aujourd’hui peut être là.",
    lacking_until="Le jour suppose les matières présentes ; ce qui manque aujourd’hui peut être là "
    "le {day}.",
    lacking="Le jour suppose les matières présentes ; il en manque aujourd’hui.",
    cautions_title="Précautions",
    section="Section à l’emplanture, à l’échelle, en mm. Envergure {span}.",
    set_of="{count} × {title}, {process}",
    page="Page {page} sur {pages}",
    accept="Pour accepter, répondez-nous ou suivez le lien s’il vous a été envoyé.",
    accept_by_writing="Pour accepter, répondez-nous.",
    supports={
        "cantilever": "Encastrée à l’emplanture, libre au bout",
        "simply supported": "Posée sur ses deux bouts",
        "both ends fixed": "Encastrée aux deux bouts",
        "elastic mounts": "Sur appuis élastiques",
    },
    loads={
        "end": "au bout",
        "centre": "au milieu",
        "uniform": "répartis sur la longueur",
        "triangular": "répartis, surtout à l’emplanture",
    },
    bears_load="Cette pièce porte une charge. Sa raideur est calculée ou mesurée comme indiqué ; "
    "sa "
    "résistance, sa tenue à la fatigue et aux chocs ne le sont pas. Essayez-la avant que quiconque "
    "s’y fie.",
    defer="Suivez les fiches techniques et de sécurité des fabricants, les règles locales et "
    "l’avis "
    "d’un professionnel agréé là où la loi ou la charge l’exige.",
    cautions={
        "fibre dust": "Poussière de fibre : aspirer à la source, masque ajusté, gants et lunettes "
        "; la "
        "poussière de carbone conduit aussi le courant.",
        "splinters": "La fibre durcie laisse des échardes et des arêtes vives : gants, et casser "
        "d’abord les arêtes.",
        "skin sensitiser": "Sensibilise la peau : pas de peau nue, pas de solvant sur la peau ; "
        "arrêter "
        "à la première rougeur.",
        "exotherm": "La résine mélangée chauffe d’elle-même : s’en tenir à la quantité permise, la "
        "verser à temps, ne jamais laisser un gobelet plein.",
        "isocyanate": "Isocyanate : aérer, tenir loin des asthmatiques ; une formation peut être "
        "imposée par la loi.",
        "corrosive": "Corrosif : gants et lunettes, de l’eau à portée de main.",
    },
)
