"""Which currency has how many decimals: a table of our own, and what a shop adds to it.

Source: ISO 4217, list one of 2026-01-01 (the current codes), and for withdrawn codes Unicode CLDR 47,
``currencyData``. One difference on purpose: where a country no longer handles its small unit, CLDR 47
said 0 although the standard still lists 2 or 3 (for example the Iraqi dinar and the Serbian dinar). No row is
ever changed: amounts already written down would mean something else.
A code newer than the table is not wrong: the dealer gives its decimals, and it is used like any other.
"""

import re
from collections.abc import Mapping
from typing import Any

MOST_DECIMALS = 4
_CODE = re.compile(r"[A-Z]{3}")

_CODES_BY_DIGITS = {
    0: """
        ADP AFN ALL BIF BYR CLP DJF ESP GNF IQD IRR ISK ITL JPY KMF KPW KRW LAK LBP LUF MGA MGF MMK MRO PYG
        RSD RWF SLL SOS STD SYP TMM TRL UGX UYI VND VUV XAF XOF XPF YER ZMK ZWD
    """,
    2: """
        AED AFA ALK AMD ANG AOA AOK AON AOR ARA ARL ARM ARP ARS ATS AUD AWG AZM AZN BAD BAM BAN BBD BDT BEC
        BEF BEL BGL BGM BGN BGO BMD BND BOB BOL BOP BOV BRB BRC BRE BRL BRN BRR BRZ BSD BTN BUK BWP BYB BYN
        BZD CAD CDF CHE CHF CHW CLE CNH CNX CNY COP COU CRC CSD CSK CUC CUP CVE CYP CZK DDM DEM DKK DOP DZD
        ECS ECV EEK EGP ERN ESA ESB ETB EUR FIM FJD FKP FRF GBP GEK GEL GHC GHS GIP GMD GNS GQE GRD GTQ GWE
        GWP GYD HKD HNL HRD HRK HTG HUF IDR IEP ILP ILR ILS INR ISJ JMD KES KGS KHR KRH KRO KYD KZT LKR LRD
        LSL LTL LTT LUC LUL LVL LVR MAD MAF MCF MDC MDL MKD MKN MLF MNT MOP MRU MTL MTP MUR MVP MVR MWK MXN
        MXP MXV MYR MZE MZM MZN NAD NGN NIC NIO NLG NOK NPR NZD PAB PEI PEN PES PGK PHP PKR PLN PLZ PTE QAR
        RHD ROL RON RUB RUR SAR SBD SCR SDD SDG SDP SEK SGD SHP SIT SKK SLE SRD SRG SSP STN SUR SVC SZL THB
        TJR TJS TMT TOP TPE TRY TTD TWD TZS UAH UAK UGS USD USN USS UYP UYU UZS VEB VED VEF VES VNN WST XAD
        XAG XAU XBA XBB XBC XBD XCD XCG XDR XEU XFO XFU XPD XPT XRE XSU XTS XUA XXX YDD YUD YUM YUN YUR ZAL
        ZAR ZMW ZRN ZRZ ZWG ZWL ZWR
    """,
    3: """
        BHD JOD KWD LYD OMR TND
    """,
    4: """
        CLF UYW
    """,
}
MINOR_UNITS: dict[str, int] = {
    code: digits for digits, codes in _CODES_BY_DIGITS.items() for code in codes.split()
}

_given: dict[str, int] = {}


def decimals_of(code: str) -> int | None:
    """The decimals of a currency in our table, or of one the shop has given; None for any other."""
    found = MINOR_UNITS.get(code)
    return _given.get(code) if found is None else found


def use_currencies(given: Any) -> None:
    """From now on the currencies of a shop's setting ``currencies`` (code -> decimals) are known as well.

    They replace those given before. What `faulty_currency` would name is passed over.
    """
    _given.clear()
    if isinstance(given, Mapping):
        _given.update({code: n for code, n in given.items() if not faulty_currency(code, n)})


def faulty_currency(code: Any, decimals: Any) -> str:
    """Why a shop cannot give this currency, as a sentence; "" where it can.

    A code of our table keeps its decimals: amounts already written down would mean something else.
    """
    if not isinstance(code, str) or not _CODE.fullmatch(code):
        return f"{code!r} is not a currency code: give three capital letters, such as XYZ"
    if type(decimals) is not int or not 0 <= decimals <= MOST_DECIMALS:
        return f"{code} cannot have {decimals!r} decimals: give a whole number from 0 to {MOST_DECIMALS}"
    known = MINOR_UNITS.get(code, decimals)
    return f"{code} is known and has {known} decimals" if known != decimals else ""


def read_currencies(text: str) -> dict[str, int]:
    """What a person typed: ``XYZ 2; ABC 0``, codes with their decimals. ValueError for anything else."""
    given: dict[str, int] = {}
    for cell in filter(None, (cell.strip() for cell in text.replace(",", ";").split(";"))):
        code, _, decimals = cell.upper().partition(" ")
        number = int(decimals) if re.fullmatch("[0-9]{1,3}", decimals.strip()) else decimals.strip()
        if wrong := faulty_currency(code, number):
            raise ValueError(f"{wrong} (a code and its decimals: XYZ 2)")
        given[code] = int(number)
    return given
