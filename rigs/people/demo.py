"""The invented people of demo mode. None of these accounts exists outside of it."""

from dataclasses import dataclass

from rigs.people import rights

DEMO_PASSWORD = "quayside-gala"  # public on purpose: demo mode shows it on its sign-in page


@dataclass(frozen=True, slots=True)
class DemoAccount:
    """Who it is, and what they hold."""

    username: str
    first_name: str
    last_name: str
    role: str


DEMO_ACCOUNTS = (
    DemoAccount("warehouse", "Wanda", "Okoro", rights.WAREHOUSE),
    DemoAccount("tech", "Tomas", "Lindqvist", rights.SYSTEM_TECH),
    DemoAccount("manager", "Mara", "Petridis", rights.MANAGER),
    DemoAccount("crew", "Cleo", "Navarro", rights.CREW),
    DemoAccount("admin", "Anders", "Bakshi", rights.ADMINISTRATOR),
)
