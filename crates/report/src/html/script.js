(()=>{
const unfold=()=>{let at=document.getElementById(decodeURIComponent(location.hash.slice(1)));const to=at;while(at){if(at.tagName==="DETAILS")at.open=true;at=at.parentElement}if(to)to.scrollIntoView()};
addEventListener("hashchange",unfold);if(location.hash)unfold();
const links=new Map([...document.querySelectorAll("nav a")].map(a=>[a.hash.slice(1),a]));
const seen=new Set(),sections=[...document.querySelectorAll("main>section")];
const mark=()=>{const here=sections.find(s=>seen.has(s));for(const[id,a]of links)here&&id===here.id?a.setAttribute("aria-current","true"):a.removeAttribute("aria-current")};
const watch=new IntersectionObserver(all=>{for(const e of all)e.isIntersecting?seen.add(e.target):seen.delete(e.target);mark()},{rootMargin:"-10% 0px -60% 0px"});
sections.forEach(s=>watch.observe(s))
})()
